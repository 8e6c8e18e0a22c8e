"""Weather that was never measured, for trying the engine without data."""

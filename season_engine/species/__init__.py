"""The catalogue: what each species waits for, and where every number comes from."""

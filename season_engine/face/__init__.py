"""The engine for Python: what `import season_engine` gives, as objects and pandas data frames."""

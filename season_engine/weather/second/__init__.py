"""A second source's readings in a yard's terms."""

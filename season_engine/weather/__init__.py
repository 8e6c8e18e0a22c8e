"""Where temperatures come from, and what is wrong with them."""

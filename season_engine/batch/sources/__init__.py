"""Where the weather of many sites is read from."""

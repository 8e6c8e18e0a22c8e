"""Reading what people wrote, with file, line and field for what is wrong in it; writing a file whole."""

"""The commands, one module each; thin: they read options, call the pipeline and print."""

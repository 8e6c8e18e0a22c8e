"""Facts into sentences, in the language and the units that are spoken: one module a kind of fact."""

"""Which readings are false: the customary daily checks of climate archives, one function each."""

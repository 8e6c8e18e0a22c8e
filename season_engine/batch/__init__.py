"""Thousands of sites: blocks of them read, judged and written, one after another or on many machines."""

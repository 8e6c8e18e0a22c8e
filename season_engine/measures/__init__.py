"""Chill, heat and day length: arrays in, arrays out.

The last axis is time (days, or hours where a name says so); any axes before it are traces, sites or
whatever the caller likes. Temperatures are in degC. A missing input is NaN and stays NaN: no measure turns
it into a number, and `coverage` says how much of a sum was there.
"""

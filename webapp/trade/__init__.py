"""The computations of the trade. Pure: quantities in and out; no pack, no web, no clock, no disk."""

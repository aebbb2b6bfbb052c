"""What a job takes: how long, and what is laid out. Pure: reads a compiled pack, meets no clock."""

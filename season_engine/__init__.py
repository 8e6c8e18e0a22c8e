"""When each tree is ready for each heavy job, from local weather."""

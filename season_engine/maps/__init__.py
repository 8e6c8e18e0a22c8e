"""What a map of a batch shows: the rows of one window, where its sites lie, and the values they have."""

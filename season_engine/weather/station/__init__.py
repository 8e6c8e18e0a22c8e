"""Public weather stations: which one stands for a site, what is fetched of it, and what is kept."""

"""Input spoilt in thousands of ways, by a seed: whatever comes, a grower is told, and nothing breaks."""

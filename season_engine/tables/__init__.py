"""What tables of the catalogue are made of: texts with values, sums of heat, where a number is from."""

"""The patterns that come with the program, as data for each family of lattices."""

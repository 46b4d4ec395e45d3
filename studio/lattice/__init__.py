"""The ground lattice: what a design is, how it fits a space, which piece lies where, what must be made."""

"""The ground lattice: what a design is, how it fits a space, what lies in which cell, and what must be made."""

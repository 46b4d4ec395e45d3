"""The ground lattice: what a design is, how it fits a space, which piece lies where, what must be made."""

from studio.lattice import kinds

__all__ = ["kinds"]
"""First of all, for documents ask which kinds there are."""

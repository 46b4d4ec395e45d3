"""The version of the rules."""

__all__ = ["ENGINE"]

ENGINE = "0.3.0"
"""Of what is computed, pyproject.toml's: frozen with the figures."""

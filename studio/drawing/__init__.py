"""Drawings of a composition: SVG for the screen, PDF form content for documents."""

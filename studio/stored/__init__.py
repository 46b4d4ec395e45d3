"""What is stored is read for ever. Pure: no Django, no database."""

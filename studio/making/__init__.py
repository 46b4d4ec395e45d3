"""Making: minutes, grams, plates and dates from pieces, printers and a calendar."""

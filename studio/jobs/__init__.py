"""What follows a yes: payments and invoices."""

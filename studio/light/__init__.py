"""Light behind a panel: where its strips lie, how they are fed, and what feeds them. Pure."""

"""Stand-ins for the world outside a room."""

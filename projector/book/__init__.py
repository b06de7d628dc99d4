"""What is kept, as YAML a person can read: clients, orders, styles, cloths."""

"""What can hurt someone: rules that flag and explain, and never clear anything."""

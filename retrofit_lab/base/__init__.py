"""Number types, input errors, units, parameters, shipped files, records from TOML; nothing of a house."""

"""Bills from files and typed entries to clean records; nothing is fitted."""

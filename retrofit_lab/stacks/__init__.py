"""Every combination of measures at once: who saves what alone, last and fairly, and which set is best."""

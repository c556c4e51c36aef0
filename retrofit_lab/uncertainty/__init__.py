"""How sure each number is, and what to look at next."""

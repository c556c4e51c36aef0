"""How sure each number is: spreads of inputs, draws, and what they do to the results."""

"""Present worth, life-cycle cost, payback, loans and rebates; no physics."""

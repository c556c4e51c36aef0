"""Plans of measures: overlaps, fair shares, the best plans for a limit; no house and no money terms."""

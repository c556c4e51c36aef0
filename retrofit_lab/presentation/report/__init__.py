"""The written report of one house: its content, its words, and the files that carry it away."""

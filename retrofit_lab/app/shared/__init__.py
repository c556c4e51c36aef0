"""What page, walk, lesson and report share: words, figures, units as shown, the page script."""

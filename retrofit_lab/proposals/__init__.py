"""What page, report and lessons all show: steps, their order and who does them."""

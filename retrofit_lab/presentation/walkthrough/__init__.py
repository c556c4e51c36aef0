"""The auditor's door: a form that follows the walk through a house and writes its file."""

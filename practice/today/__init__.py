"""What waits today: the page's groups, one module for each column's subject."""

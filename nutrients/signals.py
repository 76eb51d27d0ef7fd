"""What the database of nutrients tells the apps above it."""

from django.dispatch import Signal

# Rows were written in bulk, past the signals of saving. Sender: their model; `rows`: the instances.
rows_written = Signal()

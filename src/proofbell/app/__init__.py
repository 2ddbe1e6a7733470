"""The screens: a wing for each page, widgets, and the live bench behind them (`session`)."""

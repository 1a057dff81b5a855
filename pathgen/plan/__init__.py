"""From the wanted part and the shop to passes, one module a feature."""

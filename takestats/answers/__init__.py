"""Fitted model in; rates, differences and odds ratios with intervals out."""

"""The weigh-out: a formula sized for today, weights, the liquid's temperature, and cautions."""

"""Many runs: remedies tried one by one, failures, variants side by side, a handful of possible years."""

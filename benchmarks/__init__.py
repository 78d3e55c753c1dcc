"""Ratios against a stated peer, in one run on one core: machines differ, ratios hardly do."""

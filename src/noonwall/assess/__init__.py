"""assess"""

"""shade"""

"""climate"""

"""May the populations be pooled?"""

"""A simulated cohort walks through the real rule: how often it steps back wrongly, and how late when it should.

Pure: whoever runs it hands in the source of chance. Levels and ratings in points of 0 to 10, times in evenings.
"""

"""The clinic of Fennel Lane, for showing: everybody in it, and everything that happened, is made up here."""

"""One room per cost the trade knows. A room describes lines; it computes nothing, and no room imports another."""

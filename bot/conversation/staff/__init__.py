"""What a therapist or the clinic lead does in the chat, and what they are answered."""

package engine

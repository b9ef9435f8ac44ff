//! The ring log over NOR flash.

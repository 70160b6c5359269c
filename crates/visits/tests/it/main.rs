//! Tests of the timetable and of the simulation.

mod brute_force;
mod queues;

//! Few registers for many steps: one is used again once nothing needs it.

use super::steps::{Line, Operand, Program, Step};

/// Gives the results of `lines` registers; nothing where there would be too many.
pub fn assign(mut lines: Vec<Line>, result: Operand) -> Option<Program> {
    let mut last = vec![0_usize; lines.len()];
    for (at, line) in lines.iter_mut().enumerate() {
        let mut use_of = |operand: &mut Operand| {
            if let Operand::Register(place) = operand
                && let Some(last) = last.get_mut(*place as usize)
            {
                *last = at;
            }
        };
        line.step.operands(&mut use_of);
        if let Some(guard) = &mut line.guard {
            use_of(guard);
        }
    }
    // What a `find` uses of what stands before it is used again for each value tried.
    for (at, line) in lines.iter().enumerate() {
        if let Step::Trial(steps, ..) = line.step {
            let solve = at + steps as usize + 1;
            let before = last.iter_mut().take(at);
            before
                .filter(|last| (at..solve).contains(last))
                .for_each(|last| *last = solve);
        }
    }
    if let Operand::Register(place) = result {
        *last.get_mut(place as usize)? = usize::MAX;
    }
    let mut assigned: Vec<u32> = Vec::with_capacity(lines.len());
    let mut free: Vec<u32> = Vec::new();
    let mut count = 0_u32;
    for at in 0..lines.len() {
        let to = match free.pop() {
            Some(free) => free,
            None => {
                count = count.checked_add(1)?;
                count - 1
            }
        };
        assigned.push(to);
        let line = lines.get_mut(at)?;
        let mut done: Vec<u32> = Vec::new();
        let mut rename = |operand: &mut Operand| {
            if let Operand::Register(place) = operand {
                let virtual_place = *place as usize;
                let register = assigned.get(virtual_place).copied().unwrap_or(0);
                if last.get(virtual_place) == Some(&at) && !done.contains(&register) {
                    done.push(register);
                }
                *operand = Operand::Register(register);
            }
        };
        line.step.operands(&mut rename);
        if let Some(guard) = &mut line.guard {
            rename(guard);
        }
        line.to = to;
        free.extend(done);
        // A result that nothing needs frees its register at once.
        if last.get(at) == Some(&0) {
            free.push(to);
        }
    }
    let result = match result {
        Operand::Register(place) => Operand::Register(*assigned.get(place as usize)?),
        other => other,
    };
    Some(Program {
        lines,
        result,
        registers: count as usize,
    })
}

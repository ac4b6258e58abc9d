//! Few registers for many steps: one is used again once nothing needs it.

use super::steps::{Line, Operand, Program, Step};

/// Returns the steps that a result needs, with where it is made: those that lead to it, and
/// all that say where there is no value. A column that is used without a word on whether
/// it has a value gets one, at the start.
pub fn needed(lines: &[Line], result: Operand) -> (Vec<Line>, Operand) {
    // What stands between the unknown of a `find` and its solution is counted.
    let finds = lines
        .iter()
        .any(|line| matches!(line.step, Step::Trial(..)));
    let mut kept = vec![finds; lines.len()];
    let mut asked: Vec<usize> = Vec::new();
    let mut columns: Vec<usize> = Vec::new();
    let look = |operand: Operand, kept: &mut Vec<bool>, columns: &mut Vec<usize>| match operand {
        Operand::Register(place) => {
            if let Some(kept) = kept.get_mut(place as usize) {
                *kept = true;
            }
        }
        Operand::Column(number) => columns.push(number),
        Operand::Constant(_) => {}
    };
    look(result, &mut kept, &mut columns);
    for (at, line) in lines.iter().enumerate().rev() {
        if let Step::Need(number) = line.step {
            asked.push(number);
        }
        let says = matches!(line.step, Step::Need(_) | Step::Require(_));
        if !says && kept.get(at) != Some(&true) {
            continue;
        }
        if let Some(kept) = kept.get_mut(at) {
            *kept = true;
        }
        let mut line = *line;
        line.step
            .operands(|operand| look(*operand, &mut kept, &mut columns));
        if let Some(guard) = line.guard {
            look(guard, &mut kept, &mut columns);
        }
    }
    columns.sort_unstable();
    columns.dedup();
    asked.sort_unstable();
    columns.retain(|number| asked.binary_search(number).is_err());
    let mut moved: Vec<u32> = vec![0; lines.len()];
    let mut made: Vec<Line> = Vec::new();
    let mut to = 0;
    for number in columns {
        let step = Step::Need(number);
        made.push(Line {
            step,
            to,
            guard: None,
        });
        to += 1;
    }
    let rename = |operand: &mut Operand, moved: &[u32]| {
        if let Operand::Register(place) = operand {
            *place = moved.get(*place as usize).copied().unwrap_or(*place);
        }
    };
    for (at, line) in lines.iter().enumerate() {
        if kept.get(at) != Some(&true) {
            continue;
        }
        let mut line = *line;
        line.step.operands(|operand| rename(operand, &moved));
        if let Some(guard) = &mut line.guard {
            rename(guard, &moved);
        }
        line.to = to;
        if let Some(moved) = moved.get_mut(at) {
            *moved = to;
        }
        made.push(line);
        to += 1;
    }
    let mut result = result;
    rename(&mut result, &moved);
    (made, result)
}

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

//! Showing how a result was made.
//!
//! A formula written over [`Real`] gives its value with `f64`, and with [`Traced`] its value and its own text. A
//! [`Working`] is handed down through the design: [`Silent`] throws everything away (and the compiler with it),
//! [`Recorder`] keeps a [`Step`] for each result: symbol, formula, the numbers put in, result, source.

use crate::quantity::{Amount, Measure, Real};
use std::cell::RefCell;
use std::cmp::Ordering;
use std::fmt::Write as _;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A name in a formula: a stem and, where there are several of a kind, a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Symbol(pub &'static str, pub Option<u16>);

impl From<&'static str> for Symbol {
    fn from(stem: &'static str) -> Self {
        Self(stem, None)
    }
}
impl From<(&'static str, usize)> for Symbol {
    fn from((stem, index): (&'static str, usize)) -> Self {
        Self(stem, u16::try_from(index).ok())
    }
}
impl std::fmt::Display for Symbol {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.1 {
            Some(index) => write!(out, "{}{index}", self.0),
            None => out.write_str(self.0),
        }
    }
}

/// Where the steps of a computation go.
pub trait Working {
    /// The kind of number that formulas run on.
    type N: Real;
    /// Whether anything is kept of what is recorded.
    const KEEPS: bool;
    /// Starts a group of steps.
    fn heading(&mut self, text: &'static str);
    /// Gives a known quantity a name.
    fn given<Q: Measure<f64>>(&mut self, symbol: impl Into<Symbol>, quantity: Q) -> Q::With<Self::N>;
    /// Records a result and gives it a name for the formulas to come.
    fn step<Q: Measure<Self::N>>(
        &mut self,
        symbol: impl Into<Symbol>,
        meaning: &'static str,
        source: &'static str,
        result: Q,
    ) -> Q;
    /// Records a quantity found by iteration: a value that makes `residual` (in the unit of the equation) vanish.
    fn solved<Q: Measure<f64>>(
        &mut self,
        symbol: impl Into<Symbol>,
        meaning: &'static str,
        source: &'static str,
        quantity: Q,
        residual: Amount,
        iterations: u32,
    ) -> Q::With<Self::N>;
}

/// Keeps nothing.
#[derive(Clone, Copy, Debug, Default)]
pub struct Silent;

impl Working for Silent {
    type N = f64;
    const KEEPS: bool = false;
    fn heading(&mut self, _: &'static str) {}
    fn given<Q: Measure<f64>>(&mut self, _: impl Into<Symbol>, quantity: Q) -> Q::With<f64> {
        quantity.plain()
    }
    fn step<Q: Measure<f64>>(&mut self, _: impl Into<Symbol>, _: &'static str, _: &'static str, result: Q) -> Q {
        result
    }
    fn solved<Q: Measure<f64>>(
        &mut self,
        _: impl Into<Symbol>,
        _: &'static str,
        _: &'static str,
        quantity: Q,
        _: Amount,
        _: u32,
    ) -> Q::With<f64> {
        quantity.plain()
    }
}

/// One line of working.
#[derive(Clone, Debug, PartialEq)]
pub enum Step {
    /// A group begins.
    Heading(&'static str),
    /// A result of a formula.
    Formula {
        /// The result's name.
        symbol: String,
        /// What it is.
        meaning: &'static str,
        /// The formula with names.
        formula: String,
        /// The formula with numbers, in SI.
        numbers: String,
        /// The result.
        result: Amount,
        /// Where the formula comes from.
        source: &'static str,
        /// The named quantities in the formula that were given, not computed.
        given: Vec<(String, Amount)>,
    },
    /// A quantity found by iteration.
    Solved {
        /// Its name.
        symbol: String,
        /// What it is.
        meaning: &'static str,
        /// The solution.
        result: Amount,
        /// How far the equation is from balance.
        residual: Amount,
        /// Steps taken.
        iterations: u32,
        /// The equation.
        source: &'static str,
    },
}

/// What a traced number was made of.
#[derive(Clone, Copy, Debug)]
enum Node {
    Number(f64),
    Named { name: u32, value: f64 },
    Infix { operator: char, left: u32, right: u32 },
    Negative(u32),
    Power { base: u32, exponent: f64 },
    Call { function: &'static str, first: u32, second: Option<u32> },
}

#[derive(Clone, Debug)]
struct Name {
    text: String,
    given: Option<Amount>,
}

/// The memory of a [`Recorder`]: every node of every formula.
#[derive(Debug, Default)]
pub struct Tape {
    nodes: RefCell<Vec<Node>>,
    names: RefCell<Vec<Name>>,
}

impl Tape {
    fn push(&self, node: Node) -> u32 {
        let mut nodes = self.nodes.borrow_mut();
        nodes.push(node);
        u32::try_from(nodes.len() - 1).unwrap_or(u32::MAX)
    }
    fn node(&self, id: u32) -> Node {
        self.nodes.borrow().get(id as usize).copied().unwrap_or(Node::Number(f64::NAN))
    }
    fn name(&self, symbol: Symbol, value: f64, given: Option<Amount>) -> u32 {
        let name = {
            let mut names = self.names.borrow_mut();
            names.push(Name { text: symbol.to_string(), given });
            u32::try_from(names.len() - 1).unwrap_or(u32::MAX)
        };
        self.push(Node::Named { name, value })
    }
}

/// A number that remembers the formula it came from.
#[derive(Clone, Copy, Debug)]
pub struct Traced<'a> {
    value: f64,
    made: Option<(u32, &'a Tape)>,
}

impl<'a> Traced<'a> {
    fn id(self, tape: &'a Tape) -> u32 {
        self.made.map_or_else(|| tape.push(Node::Number(self.value)), |(id, _)| id)
    }
    fn join(self, other: Self, value: f64, node: impl FnOnce(u32, u32) -> Node) -> Self {
        let made = self.made.or(other.made).map(|(_, tape)| {
            let node = node(self.id(tape), other.id(tape));
            (tape.push(node), tape)
        });
        Self { value, made }
    }
    fn map(self, value: f64, node: impl FnOnce(u32) -> Node) -> Self {
        Self { value, made: self.made.map(|(id, tape)| (tape.push(node(id)), tape)) }
    }
    fn call(self, function: &'static str, value: f64) -> Self {
        self.map(value, |first| Node::Call { function, first, second: None })
    }
}

impl From<f64> for Traced<'_> {
    fn from(value: f64) -> Self {
        Self { value, made: None }
    }
}
impl PartialEq for Traced<'_> {
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value
    }
}
impl PartialOrd for Traced<'_> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        self.value.partial_cmp(&other.value)
    }
}

macro_rules! traced_operator {
    ($($trait:ident $method:ident $sign:literal)*) => { $(
        impl $trait for Traced<'_> {
            type Output = Self;
            fn $method(self, other: Self) -> Self {
                let value = $trait::$method(self.value, other.value);
                self.join(other, value, |left, right| Node::Infix { operator: $sign, left, right })
            }
        }
        impl $trait<f64> for Traced<'_> {
            type Output = Self;
            fn $method(self, other: f64) -> Self {
                $trait::$method(self, Self::from(other))
            }
        }
    )* };
}
traced_operator!(Add add '+' Sub sub '-' Mul mul '*' Div div '/');

impl Neg for Traced<'_> {
    type Output = Self;
    fn neg(self) -> Self {
        self.map(-self.value, Node::Negative)
    }
}

impl Real for Traced<'_> {
    fn value(self) -> f64 {
        self.value
    }
    fn powf(self, exponent: f64) -> Self {
        self.map(Real::powf(self.value, exponent), |base| Node::Power { base, exponent })
    }
    fn sqrt(self) -> Self {
        self.call("sqrt", self.value.sqrt())
    }
    fn ln(self) -> Self {
        self.call("ln", Real::ln(self.value))
    }
    fn log10(self) -> Self {
        self.call("log10", Real::log10(self.value))
    }
    fn exp(self) -> Self {
        self.call("exp", Real::exp(self.value))
    }
    fn least(self, other: Self) -> Self {
        self.join(other, self.value.min(other.value), |first, second| Node::Call {
            function: "min",
            first,
            second: Some(second),
        })
    }
    fn greatest(self, other: Self) -> Self {
        self.join(other, self.value.max(other.value), |first, second| Node::Call {
            function: "max",
            first,
            second: Some(second),
        })
    }
}

/// Keeps every step.
#[derive(Debug)]
pub struct Recorder<'a> {
    tape: &'a Tape,
    steps: Vec<Step>,
}

impl<'a> Recorder<'a> {
    /// A recorder that writes on a tape.
    pub fn new(tape: &'a Tape) -> Self {
        Self { tape, steps: Vec::new() }
    }
    /// The steps recorded.
    pub fn into_steps(self) -> Vec<Step> {
        self.steps
    }
}

impl<'a> Working for Recorder<'a> {
    type N = Traced<'a>;
    const KEEPS: bool = true;
    fn heading(&mut self, text: &'static str) {
        self.steps.push(Step::Heading(text));
    }
    fn given<Q: Measure<f64>>(&mut self, symbol: impl Into<Symbol>, quantity: Q) -> Q::With<Traced<'a>> {
        let value = quantity.si();
        let id = self.tape.name(symbol.into(), value, Some(Amount::of(quantity)));
        Q::With::from_si(Traced { value, made: Some((id, self.tape)) })
    }
    fn step<Q: Measure<Traced<'a>>>(
        &mut self,
        symbol: impl Into<Symbol>,
        meaning: &'static str,
        source: &'static str,
        result: Q,
    ) -> Q {
        let symbol = symbol.into();
        let number = result.si();
        if let Some((id, tape)) = number.made {
            let mut writer = Writer { tape, formula: String::new(), numbers: String::new(), given: Vec::new() };
            writer.write(id, 0);
            self.steps.push(Step::Formula {
                symbol: symbol.to_string(),
                meaning,
                formula: writer.formula,
                numbers: writer.numbers,
                result: Amount::of(result),
                source,
                given: writer.given,
            });
        }
        let id = self.tape.name(symbol, number.value, None);
        Q::from_si(Traced { value: number.value, made: Some((id, self.tape)) })
    }
    fn solved<Q: Measure<f64>>(
        &mut self,
        symbol: impl Into<Symbol>,
        meaning: &'static str,
        source: &'static str,
        quantity: Q,
        residual: Amount,
        iterations: u32,
    ) -> Q::With<Traced<'a>> {
        let symbol = symbol.into();
        self.steps.push(Step::Solved {
            symbol: symbol.to_string(),
            meaning,
            result: Amount::of(quantity),
            residual,
            iterations,
            source,
        });
        let value = quantity.si();
        let id = self.tape.name(symbol, value, None);
        Q::With::from_si(Traced { value, made: Some((id, self.tape)) })
    }
}

/// Turns a tree of nodes into text, with names and with numbers side by side.
struct Writer<'a> {
    tape: &'a Tape,
    formula: String,
    numbers: String,
    given: Vec<(String, Amount)>,
}

/// How tightly an operator binds: what stands inside something tighter needs brackets.
const fn binding(operator: char) -> u8 {
    match operator {
        '+' | '-' => 1,
        _ => 2,
    }
}
const POWER: u8 = 4;

impl Writer<'_> {
    fn both(&mut self, text: &str) {
        self.formula.push_str(text);
        self.numbers.push_str(text);
    }
    fn number(&mut self, value: f64) {
        self.both(&figures(value));
    }
    fn write(&mut self, id: u32, outside: u8) {
        match self.tape.node(id) {
            Node::Number(value) => self.number(value),
            Node::Named { name, value } => {
                let Some(name) = self.tape.names.borrow().get(name as usize).cloned() else { return };
                self.formula.push_str(&name.text);
                let value = figures(value);
                if value.starts_with('-') && outside > 0 {
                    let _ = write!(self.numbers, "({value})");
                } else {
                    self.numbers.push_str(&value);
                }
                if let Some(amount) = name.given
                    && !self.given.iter().any(|(known, _)| *known == name.text)
                {
                    self.given.push((name.text, amount));
                }
            }
            Node::Infix { operator, left, right } => {
                let own = binding(operator);
                let open = own < outside;
                if open {
                    self.both("(");
                }
                self.write(left, own);
                self.both(&format!(" {operator} "));
                // a - (b + c) and a / (b * c) keep their brackets
                self.write(right, if matches!(operator, '-' | '/') { own + 1 } else { own });
                if open {
                    self.both(")");
                }
            }
            Node::Negative(inner) => {
                self.both("(-");
                self.write(inner, 3);
                self.both(")");
            }
            Node::Power { base, exponent } => {
                self.write(base, POWER + 1);
                let exponent = figures(exponent);
                self.both(&if exponent.starts_with('-') { format!("^({exponent})") } else { format!("^{exponent}") });
            }
            Node::Call { function, first, second } => {
                self.both(function);
                self.both("(");
                self.write(first, 0);
                if let Some(second) = second {
                    self.both(", ");
                    self.write(second, 0);
                }
                self.both(")");
            }
        }
    }
}

/// Nine significant figures, without trailing zeros: enough to reproduce a result printed to six.
pub fn figures(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    if !(1e-4..1e7).contains(&value.abs()) {
        let text = format!("{value:.8e}");
        let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
        return format!("{}e{exponent}", trim(mantissa));
    }
    let whole = libm::floor(libm::log10(value.abs()));
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 2 and 12")]
    let decimals = (8.0 - whole).clamp(0.0, 12.0) as usize;
    trim(&format!("{value:.decimals$}")).to_owned()
}

fn trim(number: &str) -> &str {
    if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number }
}

//! From the text of a file to the same text with all its mutants in it, each behind a gate.

use std::ops::Range;

use syn::spanned::Spanned;
use syn::visit::{self, Visit};
use syn::{BinOp, Expr, ReturnType, Stmt, Type, UnOp};

/// One place where the copy can be made to differ.
#[derive(Debug, Clone)]
pub struct Mutant {
    /// Its number; the first is 1. One that is made in two ways takes two.
    pub id: u32,
    /// How many numbers it takes.
    pub takes: u32,
    /// Line in the file, from 1.
    pub line: usize,
    /// Bytes of its line that come before it.
    pub column: usize,
    /// What it does, for people.
    pub what: Vec<String>,
    edits: Vec<Edit>,
    /// How to write it when the first way does not compile.
    second: Option<Vec<Edit>>,
}

#[derive(Debug, Clone)]
struct Edit {
    at: Range<usize>,
    text: String,
    /// Texts that end something come before texts that begin something at the same place.
    ends: bool,
}

impl Mutant {
    /// Writes it the second way; false if there is none (left).
    pub fn otherwise(&mut self) -> bool {
        self.second.take().map(|second| self.edits = second).is_some()
    }
}

/// A file's text with its mutants, and where each of them stands in it.
pub fn with(text: &str, mutants: &[Mutant]) -> (String, Vec<Range<usize>>) {
    let mut edits: Vec<(usize, &Edit, usize)> = Vec::new();
    for (m, mutant) in mutants.iter().enumerate() {
        edits.extend(mutant.edits.iter().enumerate().map(|(n, e)| (m * 8 + n, e, m)));
    }
    // What ends last began first: outer texts begin before inner ones and end after them.
    edits.sort_by_key(|(n, e, _)| {
        let turn = isize::try_from(*n).unwrap_or(isize::MAX);
        (e.at.start, !e.ends, if e.ends { -turn } else { turn })
    });
    let (mut out, mut from) = (String::with_capacity(text.len() * 2), 0);
    // Each grows from nothing.
    let nothing = Range { start: usize::MAX, end: 0 };
    let mut spans = vec![nothing; mutants.len()];
    for (_, edit, m) in edits {
        out.push_str(&text[from..edit.at.start]);
        spans[m].start = spans[m].start.min(out.len());
        out.push_str(&edit.text);
        spans[m].end = spans[m].end.max(out.len());
        from = edit.at.end;
    }
    out.push_str(&text[from..]);
    (out, spans)
}

/// All mutants of a file, numbered from `first`.
pub fn mutants(text: &str, first: u32) -> Vec<Mutant> {
    let Ok(file) = syn::parse_file(text) else { return Vec::new() };
    let mut finder = Finder { text, next: first, found: Vec::new() };
    finder.visit_file(&file);
    finder.found
}

struct Finder<'a> {
    text: &'a str,
    next: u32,
    found: Vec<Mutant>,
}

fn bytes(of: &impl Spanned) -> Range<usize> {
    of.span().byte_range()
}

fn before(at: usize, text: String) -> Edit {
    Edit { at: at..at, text, ends: false }
}

fn after(at: usize, text: &str) -> Edit {
    Edit { at: at..at, text: text.to_owned(), ends: true }
}

fn instead(at: Range<usize>, text: &str) -> Edit {
    Edit { at, text: text.to_owned(), ends: true }
}

fn is_test(attributes: &[syn::Attribute]) -> bool {
    attributes.iter().any(|a| {
        a.path().is_ident("test") || (a.path().is_ident("cfg") && quoted(a).contains("test"))
    })
}

fn quoted(attribute: &syn::Attribute) -> String {
    match &attribute.meta {
        syn::Meta::List(list) => list.tokens.to_string(),
        _ => String::new(),
    }
}

impl Finder<'_> {
    fn add(
        &mut self,
        at: Range<usize>,
        what: Vec<String>,
        edits: Vec<Edit>,
        second: Option<Vec<Edit>>,
    ) {
        let takes = u32::try_from(what.len()).unwrap_or(1);
        let above = &self.text[..at.start];
        let line = above.matches('\n').count() + 1;
        let column = at.start - above.rfind('\n').map_or(0, |n| n + 1);
        self.found.push(Mutant { id: self.next, takes, line, column, what, edits, second });
        self.next += takes;
    }

    fn call(&self, binary: &syn::ExprBinary, name: &str, and: &str, of: &str) -> Vec<Edit> {
        let (left, right) = (bytes(&*binary.left), bytes(&*binary.right));
        vec![
            before(left.start, format!("crate::gate::{name}({}, {and}{of}(", self.next)),
            instead(left.end..right.start, &format!("), {of}(")),
            after(right.end, "))"),
        ]
    }

    fn compared(&mut self, binary: &syn::ExprBinary, op: u8) {
        const SIGNS: [&str; 4] = ["<", "<=", ">", ">="];
        let sign = |n: u8| SIGNS[usize::from(n)];
        let what = vec![
            format!("{} for {}", sign(op ^ 1), sign(op)),
            format!("{} for {}", sign(3 - op), sign(op)),
        ];
        let op = format!("{op}, ");
        let edits = self.call(binary, "order", &op, "&");
        let second = self.call(binary, "order_of", &op, "&");
        self.add(bytes(binary), what, edits, Some(second));
    }

    fn equal(&mut self, binary: &syn::ExprBinary, equal: bool) {
        let what = if equal { "!= for ==" } else { "== for !=" };
        let edits = self.call(binary, "same", &format!("{equal}, "), "&");
        let second = self.call(binary, "same_of", &format!("{equal}, "), "&");
        self.add(bytes(binary), vec![what.to_owned()], edits, Some(second));
    }

    fn joined(&mut self, binary: &syn::ExprBinary, what: &str) {
        let (left, right) = (bytes(&*binary.left), bytes(&*binary.right));
        let edits = vec![
            before(left.start, format!("(match (crate::gate::on({}), ", self.next)),
            instead(
                left.end..right.start,
                if what.ends_with("&&") {
                    ") { (false, true) | (true, false) => "
                } else {
                    ") { (false, false) | (true, true) => "
                },
            ),
            after(right.end, ", (_, x) => x })"),
        ];
        self.add(bytes(binary), vec![what.to_owned()], edits, None);
    }

    fn reckoned(&mut self, binary: &syn::ExprBinary, name: &str, what: &str) {
        let edits = self.call(binary, name, "", "");
        self.add(bytes(binary), vec![what.to_owned()], edits, None);
    }

    fn reckoned_into(&mut self, binary: &syn::ExprBinary, name: &str, what: &str) {
        let (left, right) = (bytes(&*binary.left), bytes(&*binary.right));
        let edits = vec![
            before(left.start, format!("crate::gate::{name}({}, &mut (", self.next)),
            instead(left.end..right.start, "), ("),
            after(right.end, "))"),
        ];
        self.add(bytes(binary), vec![what.to_owned()], edits, None);
    }

    fn binary(&mut self, binary: &syn::ExprBinary) {
        match binary.op {
            BinOp::Lt(_) => self.compared(binary, 0),
            BinOp::Le(_) => self.compared(binary, 1),
            BinOp::Gt(_) => self.compared(binary, 2),
            BinOp::Ge(_) => self.compared(binary, 3),
            BinOp::Eq(_) => self.equal(binary, true),
            BinOp::Ne(_) => self.equal(binary, false),
            BinOp::And(_) if !has_let(binary) => self.joined(binary, "|| for &&"),
            BinOp::Or(_) => self.joined(binary, "&& for ||"),
            BinOp::Add(_) => self.reckoned(binary, "add", "- for +"),
            BinOp::Sub(_) => self.reckoned(binary, "sub", "+ for -"),
            BinOp::Mul(_) => self.reckoned(binary, "mul", "/ for *"),
            BinOp::Div(_) => self.reckoned(binary, "div", "* for /"),
            BinOp::Rem(_) => self.reckoned(binary, "rem", "/ for %"),
            BinOp::AddAssign(_) => self.reckoned_into(binary, "add_to", "-= for +="),
            BinOp::SubAssign(_) => self.reckoned_into(binary, "sub_from", "+= for -="),
            _ => (),
        }
    }

    /// A question with a yes or a no, turned round.
    fn turned(&mut self, at: Range<usize>, what: String) {
        let edits = vec![
            before(at.start, "((".to_owned()),
            after(at.end, &format!(") != crate::gate::on({}))", self.next)),
        ];
        self.add(at, vec![what], edits, None);
    }

    fn called(&mut self, call: &syn::ExprMethodCall) {
        let name = call.method.to_string();
        match (name.as_str(), call.args.first()) {
            ("min" | "max", Some(other)) if call.args.len() == 1 => {
                let (gate, what) =
                    if name == "min" { ("least", "max for min") } else { ("most", "min for max") };
                let (receiver, other) = (bytes(&*call.receiver), bytes(other));
                let edits = vec![
                    before(receiver.start, format!("crate::gate::{gate}({}, ", self.next)),
                    instead(receiver.end..other.start, ", "),
                ];
                self.add(bytes(call), vec![what.to_owned()], edits, None);
            }
            (
                "is_some" | "is_none" | "is_some_and" | "is_none_or" | "is_empty" | "contains"
                | "any" | "all" | "starts_with" | "ends_with" | "is_ok" | "is_err" | "contains_key",
                _,
            ) => self.turned(bytes(call), format!("not {name}")),
            _ => (),
        }
    }

    fn body(&mut self, output: &ReturnType, block: &syn::Block) {
        let at = block.brace_token.span.open().byte_range().end;
        let values: &[&str] = match output {
            ReturnType::Default => &["()"],
            ReturnType::Type(_, kind) => values(kind),
        };
        // What has nothing to do cannot be left undone.
        if values.is_empty() || block.stmts.is_empty() {
            return;
        }
        let text: String = (self.next..)
            .zip(values)
            .map(|(id, value)| format!(" if crate::gate::on({id}) {{ return {value}; }}"))
            .collect();
        let what = values.iter().map(|v| format!("returns {v} at once")).collect();
        self.add(at..at, what, vec![before(at, text)], None);
    }
}

fn has_let(binary: &syn::ExprBinary) -> bool {
    let one = |e: &Expr| match e {
        Expr::Let(_) => true,
        Expr::Binary(b) => has_let(b),
        _ => false,
    };
    one(&binary.left) || one(&binary.right)
}

/// Values that a function of this type may return without looking at anything.
fn values(kind: &Type) -> &'static [&'static str] {
    let Type::Path(path) = kind else { return &[] };
    let Some(last) = path.path.segments.last() else { return &[] };
    match last.ident.to_string().as_str() {
        "bool" => &["true", "false"],
        "u8" | "u16" | "u32" | "u64" | "usize" | "i8" | "i16" | "i32" | "i64" | "isize" => {
            &["0", "1"]
        }
        "f32" | "f64" => &["0.0", "1.0"],
        "String" => &["String::new()"],
        "Option" => &["None"],
        "Vec" => &["Vec::new()"],
        _ => &[],
    }
}

impl<'ast> Visit<'ast> for Finder<'_> {
    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        if item.sig.constness.is_none() && !is_test(&item.attrs) {
            self.body(&item.sig.output, &item.block);
            visit::visit_block(self, &item.block);
        }
    }

    fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
        if item.sig.constness.is_none() && !is_test(&item.attrs) {
            self.body(&item.sig.output, &item.block);
            visit::visit_block(self, &item.block);
        }
    }

    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        if !is_test(&item.attrs) {
            visit::visit_item_mod(self, item);
        }
    }

    fn visit_item_impl(&mut self, item: &'ast syn::ItemImpl) {
        if !is_test(&item.attrs) {
            visit::visit_item_impl(self, item);
        }
    }

    // Worked out by the compiler, before any gate can stand open.
    fn visit_item_const(&mut self, _: &'ast syn::ItemConst) {}
    fn visit_impl_item_const(&mut self, _: &'ast syn::ImplItemConst) {}
    fn visit_item_static(&mut self, _: &'ast syn::ItemStatic) {}
    fn visit_item_enum(&mut self, _: &'ast syn::ItemEnum) {}
    fn visit_type(&mut self, _: &'ast Type) {}
    fn visit_pat(&mut self, _: &'ast syn::Pat) {}
    fn visit_attribute(&mut self, _: &'ast syn::Attribute) {}

    fn visit_stmt(&mut self, stmt: &'ast Stmt) {
        if let Stmt::Expr(expr @ (Expr::MethodCall(_) | Expr::Assign(_)), Some(_)) = stmt {
            let at = bytes(stmt);
            let text = self.text.get(bytes(expr)).unwrap_or_default();
            let what = format!("without `{}`", text.lines().next().unwrap_or_default());
            let edits = vec![
                before(at.start, format!("if !crate::gate::on({}) {{ ", self.next)),
                after(at.end, " }"),
            ];
            self.add(at, vec![what], edits, None);
        }
        visit::visit_stmt(self, stmt);
    }

    fn visit_expr_binary(&mut self, binary: &'ast syn::ExprBinary) {
        self.binary(binary);
        visit::visit_expr_binary(self, binary);
    }

    fn visit_expr_unary(&mut self, unary: &'ast syn::ExprUnary) {
        if matches!(unary.op, UnOp::Not(_)) {
            self.turned(bytes(unary), "without !".to_owned());
        }
        visit::visit_expr_unary(self, unary);
    }

    fn visit_expr_method_call(&mut self, call: &'ast syn::ExprMethodCall) {
        self.called(call);
        visit::visit_expr_method_call(self, call);
    }
}

//! Layout: computes the position of every node of a page with the layout engine.

use std::collections::HashMap;

use taffy::prelude::*;

use crate::letters::{Letters, Set};
use crate::node::{Flow, PageArea, PageNode, Track};

/// A node with its place on the page, in points from the upper left corner of the sheet.
pub struct PlacedNode<'n> {
    pub node: &'n PageNode,
    pub x: f32,
    pub y: f32,
    pub width: f32,
    pub height: f32,
    pub set: Option<Set>,
    pub children: Vec<PlacedNode<'n>>,
}

enum Leaf {
    Words(Box<Set>),
    /// Height over width.
    Picture(f32, f32),
}

struct Laying<'l> {
    tree: TaffyTree<Leaf>,
    letters: &'l mut Letters,
    ids: HashMap<usize, NodeId>,
    next: usize,
    right_to_left: bool,
}

/// Lays out a tree in the printable area. `height` fixes the footer; `None` measures the natural height.
pub fn lay_out<'n>(
    node: &'n PageNode,
    letters: &mut Letters,
    (x, y): (f32, f32),
    width: f32,
    height: Option<f32>,
) -> PlacedNode<'n> {
    let mut tree: TaffyTree<Leaf> = TaffyTree::new();
    tree.disable_rounding();
    let right_to_left = letters.right_to_left();
    let mut laying = Laying { tree, letters, ids: HashMap::new(), next: 0, right_to_left };
    let root = laying.add(node);
    if let Ok(style) = laying.tree.style(root) {
        let mut style = style.clone();
        style.size.width = length(width);
        if let Some(height) = height {
            style.min_size.height = length(height);
        }
        let _ = laying.tree.set_style(root, style);
    }
    let room = Size { width: AvailableSpace::Definite(width), height: AvailableSpace::MaxContent };
    let _ = laying.tree.compute_layout_with_measure(root, room, |inputs, _, leaf, style| {
        taffy::compute_leaf_layout(
            inputs,
            style,
            |_, _| 0.0,
            |known, room| measure(leaf, known, room),
        )
    });
    laying.next = 0;
    laying.place(node, x, y)
}

fn measure(
    leaf: Option<&mut Leaf>,
    known: Size<Option<f32>>,
    room: Size<AvailableSpace>,
) -> Size<f32> {
    match leaf {
        None => Size::ZERO,
        Some(Leaf::Picture(ratio, share)) => {
            let width = known.width.unwrap_or(match room.width {
                AvailableSpace::Definite(w) => w,
                _ => 0.0,
            });
            Size { width, height: width * *share * *ratio }
        }
        Some(Leaf::Words(set)) => {
            let limit = known.width.or(match room.width {
                AvailableSpace::Definite(w) => Some(w),
                AvailableSpace::MinContent => Some(set.narrowest()),
                AvailableSpace::MaxContent => None,
            });
            let (width, height) = set.measure(limit);
            Size { width: known.width.unwrap_or(width), height: known.height.unwrap_or(height) }
        }
    }
}

impl Laying<'_> {
    fn add(&mut self, node: &PageNode) -> NodeId {
        let number = self.next;
        self.next += 1;
        let id = match node {
            PageNode::Text(text) => {
                let set = Box::new(self.letters.set(text));
                self.leaf(Leaf::Words(set), Style::default())
            }
            PageNode::Picture { drawing, share } => {
                let ratio = (drawing.height / drawing.width.max(1.0)) as f32;
                self.leaf(Leaf::Picture(ratio, *share), Style::default())
            }
            PageNode::Area(area) => {
                let children: Vec<NodeId> = area.children.iter().map(|c| self.add(c)).collect();
                let mut style = style(area);
                if self.right_to_left {
                    style.direction = taffy::Direction::Rtl;
                }
                self.tree.new_with_children(style, &children).unwrap_or_else(|_| {
                    // Only a full arena refuses a node; an empty box keeps the page whole.
                    NodeId::from(0u64)
                })
            }
        };
        self.ids.insert(number, id);
        id
    }

    fn leaf(&mut self, leaf: Leaf, style: Style) -> NodeId {
        self.tree.new_leaf_with_context(style, leaf).unwrap_or_else(|_| NodeId::from(0u64))
    }

    fn place<'n>(&mut self, node: &'n PageNode, x: f32, y: f32) -> PlacedNode<'n> {
        let id = self.ids.get(&self.next).copied();
        self.next += 1;
        let layout = id.and_then(|id| self.tree.layout(id).ok().copied()).unwrap_or_default();
        let (x, y) = (x + layout.location.x, y + layout.location.y);
        let set = id.and_then(|id| match self.tree.get_node_context_mut(id) {
            Some(Leaf::Words(set)) => {
                set.break_lines(layout.size.width);
                Some(std::mem::replace(&mut **set, self.letters.set(&Default::default())))
            }
            _ => None,
        });
        let children = match node {
            PageNode::Area(area) => area.children.iter().map(|c| self.place(c, x, y)).collect(),
            _ => Vec::new(),
        };
        let (width, height) = (layout.size.width, layout.size.height);
        PlacedNode { node, x, y, width, height, set, children }
    }
}

fn style(area: &PageArea) -> Style {
    let mut style = Style {
        display: Display::Flex,
        flex_direction: FlexDirection::Column,
        gap: Size { width: length(area.gap[1]), height: length(area.gap[0]) },
        padding: Rect {
            top: length(area.pad[0]),
            right: length(area.pad[1]),
            bottom: length(area.pad[2]),
            left: length(area.pad[3]),
        },
        min_size: Size { width: length(0.0), height: length(area.min_height) },
        flex_shrink: 0.0,
        ..Style::default()
    };
    if let Some(width) = area.width {
        style.size.width = length(width);
    }
    if area.grow {
        style.flex_grow = 1.0;
    }
    if area.at_foot {
        style.margin.top = auto();
    }
    match &area.flow {
        Flow::Down => {}
        Flow::Across => {
            style.flex_direction = FlexDirection::Row;
            style.flex_wrap = if area.whole { FlexWrap::NoWrap } else { FlexWrap::Wrap };
            if area.centred {
                style.align_items = AlignItems::CENTER;
            }
        }
        Flow::Columns(tracks) => {
            style.display = Display::Grid;
            style.grid_template_columns = tracks
                .iter()
                .map(|t| match t {
                    Track::Fixed(points) => length(*points),
                    Track::Share(share) => minmax(length(0.0), fr(*share)),
                })
                .collect();
            if area.centred {
                style.align_items = AlignItems::CENTER;
            }
        }
    }
    style
}

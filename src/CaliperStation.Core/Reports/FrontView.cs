using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>What stands at a gap of the drawing.</summary>
/// <param name="Text">The value and its nominal, or the nominal alone.</param>
/// <param name="Verdict">The worst verdict the reading has a part in; null where nothing was judged.</param>
public sealed record GapLabel(string Text, Verdict? Verdict);

/// <summary>Draws the coat's front: items with their rows, the edges of the cloth they stand on, every gap with an arrow and its value.</summary>
/// <remarks>
/// What stands on one place of the garment is one part of the drawing, at one scale; parts lie left and right, above and below as the viewer faces
/// the coat. Where the readings tell how an item lies, its nominal place is dashed and the deviation is drawn many times too large; the factor is told.
/// </remarks>
public sealed class FrontView
{
    private const string Ink = "#000000";
    private const string Grey = "#767676";
    private const double LabelSize = 2.1;
    private const double NameSize = 2.3;
    private const double Gutter = 3;
    private const double LeastScale = 0.22;   // paper over coat; below that a gap of 3/16 in is a millimetre
    private const double LargestScale = 0.6;
    private const double Room = 9;            // around the items of a part, for values

    private static readonly int[] _factors = [20, 10, 5, 2];
    private static readonly double[] _nameSizes = [NameSize, 1.9, 1.6];
    private static readonly Stroke _cloth = new(0.18, Grey), _nominal = new(0.15, Grey, 0.8), _item = new(0.35, Ink), _row = new(0.12, Ink), _gap = new(0.15, Ink), _leader = new(0.08, Grey);

    private readonly Plan _plan;
    private readonly IReadOnlyDictionary<string, CoatPlace> _places;
    private readonly CoatLayout _layout;
    private readonly Func<Step, GapLabel?> _label;
    private readonly Dictionary<string, ItemPose> _poses;
    private readonly TextWidth _measure;
    private readonly List<Mark> _marks = [];
    private int _factor = 1;

    private FrontView(Plan plan, IReadOnlyList<ItemPose> poses, Func<Step, GapLabel?> label, TextWidth measure)
    {
        _plan = plan;
        _places = CoatPicture.Of(plan);
        _layout = new CoatLayout(plan);
        _label = label;
        _poses = poses.ToDictionary(pose => pose.Item);
        _measure = measure;
    }

    /// <summary>The drawing, and how many times too large deviations are drawn in it; 0 where none is drawn.</summary>
    /// <param name="plan">What the blouse carries.</param>
    /// <param name="poses">How the items lie; those that are not known lie in their nominal place.</param>
    /// <param name="label">What stands at a step's gap; null: the step is not drawn.</param>
    /// <param name="width">Width of the paper it is for, in millimetres.</param>
    /// <param name="measure">How wide texts are.</param>
    public static (Drawing Drawing, int Factor) Of(Plan plan, IReadOnlyList<ItemPose> poses, Func<Step, GapLabel?> label, double width, TextWidth measure) =>
        new FrontView(plan, poses, label, measure).Draw(width);

    private (Drawing Drawing, int Factor) Draw(double width)
    {
        List<Part> parts = Parts();
        List<List<Part>> shelves = Shelves(parts, width);
        double scale = Math.Min(LargestScale, shelves.Select(shelf => (width - (Gutter * (shelf.Count - 1)) - (2 * Room * shelf.Count)) / shelf.Sum(part => part.Box.Width)).DefaultIfEmpty(1).Min());
        _factor = FactorFor(scale);
        double y = NameSize + 2;
        (string left, string right) = _plan.Standard.Sides == Sides.Viewer ? ("left", "right") : ("wearer's right", "wearer's left");
        Words(new DrawPoint(0, NameSize), NameSize, left, Grey, TextAnchor.Start);
        Words(new DrawPoint(width, NameSize), NameSize, right, Grey, TextAnchor.End);
        Words(new DrawPoint(width / 2, NameSize), NameSize, "as you face the coat", Grey, TextAnchor.Middle);
        foreach (List<Part> shelf in shelves)
        {
            double used = shelf.Sum(part => (part.Box.Width * scale) + (2 * Room));
            double spare = (width - used) / shelf.Count;
            double x = spare / 2, high = shelf.Max(part => part.Box.Height) * scale;
            foreach (Part part in shelf)
            {
                double partWidth = (part.Box.Width * scale) + (2 * Room);
                Paint(part, new View(scale, x + Room - (part.Box.Left * scale), y + Room + high + (part.Box.Bottom * scale)), new Frame(x, y, partWidth, high + (2 * Room)));
                x += partWidth + spare;
            }

            y += high + (2 * Room) + Gutter;
        }

        bool deviates = _poses.Values.Any(pose => pose.Unseen.Count < 3);
        return (new Drawing(width, parts.Count == 0 ? NameSize + 2 : y - Gutter, [.. _marks], $"{_plan.Standard.Name}: the front of the coat"), deviates ? _factor : 0);
    }

    /// <summary>What stands on one place of the garment, with the ends of its gaps; the highest and leftmost first.</summary>
    private List<Part> Parts()
    {
        return [.. _plan.Items.GroupBy(item => _layout.RootOf(item.Id)).Select(group =>
        {
            Step[] steps = [.. _plan.Steps.Where(step => _layout.RootOf(step.Of) == group.Key && step.Grows is not null && _label(step) is not null)];
            Box box = group.Aggregate(Box.Empty, (box, item) => box.With(_places[item.Id]));
            box = steps.Select(Ends).Aggregate(box, (box, ends) => box.With(ends.From).With(ends.To));
            return new Part(group.Key, [.. group], steps, box);
        })];
    }

    /// <summary>Parts side by side where their heights overlap, as many as the width takes; the highest shelf first.</summary>
    private static List<List<Part>> Shelves(List<Part> parts, double width)
    {
        List<List<Part>> rows = [];
        foreach (Part part in parts.OrderByDescending(part => part.Box.Top))
        {
            if (rows.Count > 0 && rows[^1].Exists(other => other.Box.Bottom < part.Box.Top))
            {
                rows[^1].Add(part);
            }
            else
            {
                rows.Add([part]);
            }
        }

        List<List<Part>> shelves = [];
        foreach (List<Part> row in rows)
        {
            List<Part> shelf = [];
            foreach (Part part in row.OrderBy(part => part.Box.Left + part.Box.Right))
            {
                double needed = shelf.Append(part).Sum(each => (each.Box.Width * LeastScale) + (2 * Room) + Gutter);
                if (shelf.Count > 0 && needed > width)
                {
                    shelves.Add(shelf);
                    shelf = [];
                }

                shelf.Add(part);
            }

            shelves.Add(shelf);
        }

        return shelves;
    }

    private void Paint(Part part, View view, Frame frame)
    {
        Box shown = new(view.Right(frame.X), view.Right(frame.X + frame.Width), view.Up(frame.Y + frame.Height), view.Up(frame.Y));
        List<Frame> taken = [];
        Cloth(part, view, shown, frame, taken);
        foreach (Item item in part.Items)
        {
            Outline(item, view);
        }

        List<(Step Step, DrawPoint Middle)> gaps = [];
        foreach (Step step in part.Steps)
        {
            gaps.Add((step, Arrow(step, view)));
        }

        foreach (Item item in part.Items)
        {
            Name(item, view, frame, taken);
        }

        foreach ((Step step, DrawPoint middle) in gaps)
        {
            Value(_label(step)!, middle, frame, taken);
        }
    }

    /// <summary>The landmark, as far as it is within the part, with its name at its edge.</summary>
    private void Cloth(Part part, View view, Box shown, Frame frame, List<Frame> taken)
    {
        if (!_places.TryGetValue(part.Root, out CoatPlace cloth))
        {
            return;
        }

        Box box = Box.Empty.With(cloth);
        double left = Math.Max(box.Left, shown.Left), right = Math.Min(box.Right, shown.Right), top = Math.Min(box.Top, shown.Top), bottom = Math.Max(box.Bottom, shown.Bottom);
        if (left >= right || bottom >= top)
        {
            Title(part.Root, frame, taken);
            return;
        }

        void Edge(bool inside, double fromRight, double fromUp, double toRight, double toUp)
        {
            if (inside)
            {
                _marks.Add(new Mark.Line([view.Point(fromRight, fromUp), view.Point(toRight, toUp)], _cloth));
            }
        }

        Edge(box.Top <= shown.Top, left, top, right, top);
        Edge(box.Bottom >= shown.Bottom, left, bottom, right, bottom);
        Edge(box.Left >= shown.Left, left, top, left, bottom);
        Edge(box.Right <= shown.Right, right, top, right, bottom);
        Title(part.Root, frame, taken);
    }

    private void Title(string root, Frame frame, List<Frame> taken)
    {
        string name = Fit(root, frame.Width - 2, LabelSize);
        double wide = _measure(name, LabelSize, false);
        Frame box = new(frame.X + ((frame.Width - wide) / 2), frame.Y + frame.Height - LabelSize - 0.4, wide, LabelSize);
        taken.Add(box);
        Words(new DrawPoint(frame.X + (frame.Width / 2), frame.Y + frame.Height - 0.8), LabelSize, name, Grey, TextAnchor.Middle);
    }

    private void Outline(Item item, View view)
    {
        CoatPlace place = _places[item.Id];
        bool known = _poses.TryGetValue(item.Id, out ItemPose? pose) && pose.Unseen.Count < 3;
        if (known)
        {
            _marks.Add(new Mark.Area([Corners(place.Centre, place.Size, null, view)], _nominal, null));
        }

        if (item.Rows is { } rows)
        {
            foreach (PlanePoint part in rows.Parts)
            {
                _marks.Add(new Mark.Area([Corners(place.Centre, rows.Part, pose, view, part)], _row, null));
            }
        }

        _marks.Add(new Mark.Area([Corners(place.Centre, place.Size, pose, view)], item.Rows is null ? _item : _item with { Width = 0.25 }, null));
        foreach (PlanePoint pin in item.Pins)
        {
            _marks.Add(new Mark.Circle(Moved(place.Centre, pin, pose, view), 0.35, null, Grey));
        }
    }

    private DrawPoint[] Corners(PlanePoint centre, PlanePoint size, ItemPose? pose, View view, PlanePoint from = default)
    {
        Length right = size.Right.DividedBy(2, Rounding.HalfEven), up = size.Up.DividedBy(2, Rounding.HalfEven);
        return [.. new PlanePoint[] { new(-right, up), new(right, up), new(right, -up), new(-right, -up) }.Select(corner => Moved(centre, from + corner, pose, view))];
    }

    /// <summary>A point of an item, displaced and turned as often as the factor says.</summary>
    private DrawPoint Moved(PlanePoint centre, PlanePoint offset, ItemPose? pose, View view)
    {
        (double right, double up) = ItemPoses.Displaced(offset, pose, _factor);
        return view.Point((centre.Right.Nanometres + right) / 1e6, (centre.Up.Nanometres + up) / 1e6);
    }

    /// <summary>The largest deviation becomes about two millimetres of paper.</summary>
    private int FactorFor(double scale)
    {
        double largest = _plan.Items.Where(item => _poses.ContainsKey(item.Id)).SelectMany(item => new PlanePoint[] { item.Size, new(-item.Size.Right, item.Size.Up) }.Select(size =>
        {
            PlanePoint corner = new(size.Right.DividedBy(2, Rounding.HalfEven), size.Up.DividedBy(2, Rounding.HalfEven));
            (double right, double up) = ItemPoses.Displaced(corner, _poses[item.Id], 1);
            return Math.Max(Math.Abs(right - corner.Right.Nanometres), Math.Abs(up - corner.Up.Nanometres)) / 1e6 * scale;
        })).DefaultIfEmpty(0).Max();
        return _factors.FirstOrDefault(factor => largest * factor <= 2, 1);
    }

    /// <summary>The two ends of a gap in millimetres: on the item, and where what it is read from begins.</summary>
    private ((double Right, double Up) From, (double Right, double Up) To) Ends(Step step)
    {
        CoatPlace place = _places[step.Of];
        Direction grows = step.Grows!;
        (double right, double up) = (Millimetres(place.Centre.Right + step.At.Right), Millimetres(place.Centre.Up + step.At.Up));
        double gap = Millimetres(_layout.Drawn(step) ?? Nominals.Of(_plan, step.Id));
        return ((right - (grows.Right * gap), up - (grows.Up * gap)), (right, up));
    }

    /// <summary>The arrow between the two edges that the jaws touch; heads outside where they have no room between. Gives its middle.</summary>
    private DrawPoint Arrow(Step step, View view)
    {
        ((double Right, double Up) lower, (double Right, double Up) upper) = Ends(step);
        DrawPoint from = view.Point(lower.Right, lower.Up), to = view.Point(upper.Right, upper.Up);
        double length = Math.Sqrt(((to.X - from.X) * (to.X - from.X)) + ((to.Y - from.Y) * (to.Y - from.Y)));
        (double x, double y) = length > 1e-6 ? ((to.X - from.X) / length, (to.Y - from.Y) / length) : (step.Grows!.Right, -step.Grows.Up);
        const double Head = 1.1;
        bool inside = length >= 2.6 * Head;
        double tail = inside ? 0 : 1.8 * Head;
        _marks.Add(new Mark.Line([new(from.X - (x * tail), from.Y - (y * tail)), new(to.X + (x * tail), to.Y + (y * tail))], _gap));
        Tip(from, inside ? x : -x, inside ? y : -y, Head);
        Tip(to, inside ? -x : x, inside ? -y : y, Head);
        return new DrawPoint((from.X + to.X) / 2, (from.Y + to.Y) / 2);
    }

    /// <summary>An arrow's head with its point at a place; it lies towards (x, y) from there.</summary>
    private void Tip(DrawPoint at, double x, double y, double length) => _marks.Add(new Mark.Area(
        [[at, new(at.X + (x * length) + (y * length / 4), at.Y + (y * length) - (x * length / 4)), new(at.X + (x * length) - (y * length / 4), at.Y + (y * length) + (x * length / 4))]], null, Ink));

    /// <summary>The name within the outline, on up to three lines; smaller, then cut, where it must be. All of it is in the tables.</summary>
    private void Name(Item item, View view, Frame frame, List<Frame> taken)
    {
        CoatPlace place = _places[item.Id];
        DrawPoint centre = view.Point(Millimetres(place.Centre.Right), Millimetres(place.Centre.Up));
        double width = (Millimetres(place.Size.Right) * view.Scale) - 1, height = Millimetres(place.Size.Up) * view.Scale;
        string name = item.Name;
        foreach (double size in _nameSizes)
        {
            IReadOnlyList<string> lines = PaperText.Wrap(name, width, text => _measure(text, size, false));
            Frame box = new(centre.X - (width / 2), centre.Y - (lines.Count * size * 0.6), width, lines.Count * size * 1.2);
            if (item.Rows is null && _marks.OfType<Mark.Line>().Any(line => line.Stroke == _gap && box.IsCrossed(line.Points[0], line.Points[^1])))
            {
                continue;   // an arrow through a word reads badly
            }

            if (lines.Count <= 3 && lines.Count * size * 1.15 <= height && lines.All(line => _measure(line, size, false) <= width && (line.Length > 2 || name.Length <= 2)))
            {
                if (item.Rows is not null)
                {
                    Blank(centre, lines.Max(line => _measure(line, size, false)) + 0.8, lines.Count * size * 1.15);
                }

                for (int line = 0; line < lines.Count; line++)
                {
                    Words(new DrawPoint(centre.X, centre.Y + (size * (0.35 + (1.15 * (line - ((lines.Count - 1) / 2.0)))))), size, lines[line], Ink, TextAnchor.Middle);
                }

                taken.Add(box);
                return;
            }
        }

        Value(new GapLabel(Fit(name, 26, 1.9), null), centre, frame, taken, strong: false);
    }

    /// <summary>White under a name that stands on lines.</summary>
    private void Blank(DrawPoint centre, double width, double height) => _marks.Add(new Mark.Area(
        [[new(centre.X - (width / 2), centre.Y - (height / 2)), new(centre.X + (width / 2), centre.Y - (height / 2)), new(centre.X + (width / 2), centre.Y + (height / 2)), new(centre.X - (width / 2), centre.Y + (height / 2))]], null, "#ffffff"));

    /// <summary>Puts a value as near to its arrow as it can stand without covering another; a thin line leads to one that stands apart. Left out where there is no room: the table has it.</summary>
    private void Value(GapLabel label, DrawPoint middle, Frame frame, List<Frame> taken, bool strong = true)
    {
        string text = label.Verdict is { } verdict && verdict != Verdict.Within ? $"{label.Text} {VerdictText.Mark(verdict)}" : label.Text;
        bool bold = strong && label.Verdict is not null and not Verdict.Within;
        double wide = _measure(text, LabelSize, bold) + 0.6, high = LabelSize * 1.1;
        Frame? best = null;
        double bestCost = double.PositiveInfinity;
        for (double far = 0; far <= 24; far += 1)
        {
            for (int angle = 0; angle < 16; angle++)
            {
                double turn = angle * Math.PI / 8;
                Frame at = new(middle.X + (Math.Cos(turn) * (far + (wide / 2) + 0.4)) - (wide / 2), middle.Y - (Math.Sin(turn) * (far + (high / 2) + 0.7)) - (high / 2), wide, high);
                if (at.X < frame.X || at.Y < frame.Y || at.X + wide > frame.X + frame.Width || at.Y + high > frame.Y + frame.Height || taken.Exists(at.Overlaps))
                {
                    continue;
                }

                double cost = far + Crossed(at);
                if (cost < bestCost)
                {
                    (best, bestCost) = (at, cost);
                }
            }

            if (bestCost <= far)
            {
                break;
            }
        }

        if (best is not { } box)
        {
            return;
        }

        DrawPoint near = new(Math.Clamp(middle.X, box.X, box.X + box.Width), Math.Clamp(middle.Y, box.Y, box.Y + box.Height));
        if (Math.Abs(near.X - middle.X) + Math.Abs(near.Y - middle.Y) > 2.2)
        {
            _marks.Add(new Mark.Line([middle, near], _leader));
        }

        taken.Add(box);
        Words(new DrawPoint(box.X + (box.Width / 2), box.Y + (LabelSize * 0.88)), LabelSize, text, Ink, TextAnchor.Middle, bold);
    }

    /// <summary>How many lines a text at a place would stand on: outlines and arrows read badly under letters.</summary>
    private double Crossed(Frame at)
    {
        double cost = 0;
        foreach (Mark mark in _marks)
        {
            cost += mark switch
            {
                Mark.Line line when at.IsCrossed(line.Points[0], line.Points[^1]) => line.Stroke == _leader ? 2 : 5,
                Mark.Area { Stroke: { } } area when area.Rings[0].Select((point, index) => at.IsCrossed(point, area.Rings[0][(index + 1) % area.Rings[0].Count])).Any(crossed => crossed) => 6,
                Mark.Circle circle when at.IsCrossed(circle.Centre, circle.Centre) => 1,
                _ => 0,
            };
        }

        return cost;
    }

    private string Fit(string text, double width, double size)
    {
        string fitted = text;
        while (fitted.Length > 1 && _measure(fitted + (fitted.Length < text.Length ? "…" : ""), size, false) > width)
        {
            fitted = fitted[..(fitted.Length - (char.IsLowSurrogate(fitted[^1]) ? 2 : 1))];
        }

        return fitted.Length < text.Length ? fitted + "…" : fitted;
    }

    private void Words(DrawPoint at, double size, string text, string colour, TextAnchor anchor, bool strong = false) => _marks.Add(new Mark.Words(at, size, text, colour, anchor, strong));

    private static double Millimetres(Length length) => length.Nanometres / 1e6;

    /// <summary>What is drawn together.</summary>
    private sealed record Part(string Root, IReadOnlyList<Item> Items, IReadOnlyList<Step> Steps, Box Box);

    /// <summary>A part of the coat, in millimetres.</summary>
    private readonly record struct Box(double Left, double Right, double Bottom, double Top)
    {
        internal static Box Empty => new(double.PositiveInfinity, double.NegativeInfinity, double.PositiveInfinity, double.NegativeInfinity);

        internal double Width => Right - Left;

        internal double Height => Top - Bottom;

        internal Box With((double Right, double Up) point) => new(Math.Min(Left, point.Right), Math.Max(Right, point.Right), Math.Min(Bottom, point.Up), Math.Max(Top, point.Up));

        internal Box With(CoatPlace place)
        {
            (double right, double up, double wide, double high) = (Millimetres(place.Centre.Right), Millimetres(place.Centre.Up), Millimetres(place.Size.Right) / 2, Millimetres(place.Size.Up) / 2);
            return With((right - wide, up - high)).With((right + wide, up + high));
        }
    }

    /// <summary>From the coat to the paper and back.</summary>
    private readonly record struct View(double Scale, double OriginX, double OriginY)
    {
        internal DrawPoint Point(double right, double up) => new(OriginX + (right * Scale), OriginY - (up * Scale));

        internal double Right(double x) => (x - OriginX) / Scale;

        internal double Up(double y) => (OriginY - y) / Scale;
    }

    /// <summary>A part of the paper.</summary>
    private readonly record struct Frame(double X, double Y, double Width, double Height)
    {
        internal bool Overlaps(Frame other) => X < other.X + other.Width && other.X < X + Width && Y < other.Y + other.Height && other.Y < Y + Height;

        /// <summary>True when a straight line passes through (Liang and Barsky's clipping, from memory).</summary>
        internal bool IsCrossed(DrawPoint from, DrawPoint to)
        {
            (double first, double last) = (0, 1);
            Frame box = this;
            bool Clip(double step, double room)
            {
                if (step == 0)
                {
                    return room >= 0;
                }

                (first, last) = step < 0 ? (Math.Max(first, room / step), last) : (first, Math.Min(last, room / step));
                return first <= last;
            }

            (double x, double y) = (to.X - from.X, to.Y - from.Y);
            return Clip(-x, from.X - box.X) && Clip(x, box.X + box.Width - from.X) && Clip(-y, from.Y - box.Y) && Clip(y, box.Y + box.Height - from.Y);
        }
    }
}

using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>A company's placement rules, as read from one file without faults.</summary>
/// <param name="Name">What the file calls itself.</param>
/// <param name="Edition">The edition of the rules.</param>
/// <param name="Unit">The unit of a bare number.</param>
/// <param name="Show">What the bench shows first.</param>
/// <param name="Sides">Whose left and right the file means.</param>
/// <param name="Judging">How verdicts are given.</param>
/// <param name="Questions">What is asked of the blouse, in the order of the file.</param>
/// <param name="Looks">What is seen or felt and not measured, in the order of the file; the readiness lines, which come before all, first.</param>
/// <param name="Landmarks">Places of the garment that items stand on, with their place on the picture where known.</param>
/// <param name="Items">The things that are placed, in the order of the file.</param>
/// <param name="Steps">The readings, in the order of the file; <see cref="Plan"/> derives the order of work.</param>
/// <param name="Relations">The rules over readings, in the order of the file.</param>
/// <param name="Sha256">Hash of the file's bytes, lower-case hexadecimal: a record names the exact text it was judged by.</param>
public sealed record Standard(
    string Name,
    string Edition,
    LengthUnit Unit,
    LengthDisplay Show,
    Sides Sides,
    JudgingSettings Judging,
    IReadOnlyList<Question> Questions,
    IReadOnlyList<Look> Looks,
    IReadOnlyList<Landmark> Landmarks,
    IReadOnlyList<Item> Items,
    IReadOnlyList<Step> Steps,
    IReadOnlyList<Relation> Relations,
    string Sha256)
{
    /// <summary>Where the file speaks of what, by kind and name; for messages about the whole.</summary>
    internal IReadOnlyDictionary<(string Kind, string Name), TextPlace> Places { get; init; } = new Dictionary<(string, string), TextPlace>();

    /// <summary>Where the file speaks of an item, a relation or a landmark; its beginning where that is not known.</summary>
    internal TextPlace PlaceOf(string kind, string name) => Places.TryGetValue((kind, name), out TextPlace place) ? place : new TextPlace(1, 1);

    /// <summary>Reads the file again where its rows are counted by answers; null where nothing hangs on an answer so.</summary>
    internal Func<IReadOnlyDictionary<string, string>, Standard>? Counted { get; init; }

    /// <summary>The item of that id, or null when the name is a landmark's or nobody's.</summary>
    public Item? FindItem(string id) => Items.FirstOrDefault(item => item.Id == id);

    /// <summary>The step of that id, or null.</summary>
    public Step? FindStep(string id) => Steps.FirstOrDefault(step => step.Id == id);

    /// <summary>The standard as its file has it, where this one is fitted to one coat's answers; else null.</summary>
    internal Standard? Whole { get; init; }

    /// <summary>The look or readiness line of that id, or null.</summary>
    public Look? FindLook(string id) => Looks.FirstOrDefault(look => look.Id == id);

    /// <summary>The relation of that id, or null.</summary>
    public Relation? FindRelation(string id) => Relations.FirstOrDefault(relation => relation.Id == id);

    /// <summary>The words for a step or a rule, from its id: <c>rack-left</c> is said as "rack left".</summary>
    public static string WordsOf(string id) => id.Replace('-', ' ');

    /// <summary>The short name of a step; the words of the id where it is nobody's.</summary>
    public string StepName(string id) => FindStep(id)?.Name ?? WordsOf(id);

    /// <summary>The words for an item or a landmark: its name, or the landmark's own words.</summary>
    public string NameOf(string idOrLandmark) => FindItem(idOrLandmark)?.Name ?? idOrLandmark;
}

/// <summary>Whose left and right a file means.</summary>
public enum Sides
{
    /// <summary>As the viewer faces the blouse.</summary>
    Viewer,

    /// <summary>As the wearer has it on.</summary>
    AsWorn,
}

/// <summary>How a sitting's verdicts are given; the company's own setting, kept in the record.</summary>
/// <param name="Rule">Plain or guarded.</param>
/// <param name="Confidence">One-sided, 0.5 to 0.9999, for the guarded rule.</param>
/// <param name="Within">The tolerance where a relation names none.</param>
/// <param name="Hand">Standard uncertainty of a hand on cloth.</param>
/// <param name="Caliper">The caliper's permissible error, plus or minus.</param>
public sealed record JudgingSettings(DecisionRule Rule, double Confidence, Length Within, Length Hand, Length Caliper)
{
    /// <summary>What studies found of hands, from the bench's settings; where one holds it is used in place of <see cref="Hand"/>.</summary>
    public IReadOnlyList<HandFigure> Figures { get; init; } = [];

    /// <inheritdoc />
    public bool Equals(JudgingSettings? other) => other is not null
        && (Rule, Confidence, Within, Hand, Caliper) == (other.Rule, other.Confidence, other.Within, other.Hand, other.Caliper)
        && Figures.SequenceEqual(other.Figures);

    /// <inheritdoc />
    public override int GetHashCode() => HashCode.Combine(Rule, Confidence, Within, Hand, Caliper, Figures.Count);
}

/// <summary>The rule that turns a value and its uncertainty into a verdict.</summary>
public enum DecisionRule
{
    /// <summary>Inside the limits is within (JCGM 106:2012, 8.2).</summary>
    Plain,

    /// <summary>Inside the limits drawn in by z·u is within, beyond them pushed out by z·u outside, else borderline (ISO 14253-1).</summary>
    Guarded,
}

/// <summary>A question about what this blouse carries.</summary>
/// <param name="Id">Its id.</param>
/// <param name="Ask">Its words.</param>
/// <param name="Answers">The answers, at least two; the first is taken where nothing is said.</param>
public sealed record Question(string Id, string Ask, IReadOnlyList<string> Answers);

/// <summary>Something that is seen or felt, not measured: answered yes or no.</summary>
/// <param name="Id">Its id.</param>
/// <param name="Ask">What must hold.</param>
/// <param name="Place">Its place in the order of work.</param>
/// <param name="Hint">Technique, or null.</param>
/// <param name="Caution">Caution, or null.</param>
/// <param name="When">Asked only then, or null for always.</param>
/// <param name="Wait">How long it takes from its beginning until yes may be said, one second to a day; null for no time.</param>
public sealed record Look(string Id, string Ask, LookPlace Place, string? Hint, string? Caution, Condition? When, TimeSpan? Wait)
{
    /// <summary>True for a readiness line: one of those before all.</summary>
    public bool IsReady => Place == LookPlace.BeforeAll;

    /// <summary>Its short name as the file gives it, or null.</summary>
    public string? Short { get; init; }

    /// <summary>What it is called in a list: its short name; else the words of its id; where those only begin what is asked, all of that, for half a sentence says nothing.</summary>
    public string Name => Short ?? Named;

    private string Named => Letters(Ask).StartsWith(Letters(Id), StringComparison.OrdinalIgnoreCase) ? Ask : Standard.WordsOf(Id);

    private static string Letters(string text) => string.Concat(text.Where(char.IsLetterOrDigit));
}

/// <summary>Where a look comes in the order of work.</summary>
/// <param name="When">Before or after; or at a re-check.</param>
/// <param name="Of">An item or a step; null for all.</param>
public sealed record LookPlace(LookWhen When, string? Of)
{
    /// <summary>Before any reading.</summary>
    public static LookPlace BeforeAll { get; } = new(LookWhen.Before, null);

    /// <summary>After every reading, before the signature.</summary>
    public static LookPlace AfterAll { get; } = new(LookWhen.After, null);

    /// <summary>After a touch-up: at a re-check, before its readings.</summary>
    public static LookPlace TouchUp { get; } = new(LookWhen.TouchUp, null);
}

/// <summary>On which side of its thing a look comes.</summary>
public enum LookWhen
{
    /// <summary>Before the first reading of it.</summary>
    Before,

    /// <summary>After the last reading of it.</summary>
    After,

    /// <summary>At a re-check.</summary>
    TouchUp,
}

/// <summary>A place of the garment.</summary>
/// <param name="Name">The words the file uses for it.</param>
/// <param name="At">Place of its top middle (for a corner, the corner) on the picture of the front, from the middle of the chest, or null when the program must choose.</param>
/// <param name="Size">Its width and height for the picture, or null.</param>
public sealed record Landmark(string Name, PlanePoint? At, PlanePoint? Size)
{
    /// <summary>The one-piece backing under everything that stands on it.</summary>
    public Backing Backing { get; init; } = Backing.Usual;
}

/// <summary>How the one-piece backing under the items is cut; the figures used where a file says none are common practice, no source.</summary>
/// <param name="Margin">How far it reaches beyond the items; 0 to 2 in.</param>
/// <param name="Bridge">Gaps and notches up to twice as wide are filled, so that it stays one piece; 0 to 2 in.</param>
/// <param name="Inset">How far it stays behind an edge where it must not show; 0 to 1 in.</param>
/// <param name="Hole">Width of the hole for a prong; above 0, up to 1/4 in.</param>
/// <param name="Hidden">Edges of items beyond which it must not show.</param>
public sealed record Backing(Length Margin, Length Bridge, Length Inset, Length Hole, IReadOnlyList<ItemEdge> Hidden)
{
    /// <summary>Where nothing is said: 1/8 in beyond, bridging 1/2 in, holes of 1/16 in, nothing hidden.</summary>
    public static Backing Usual { get; } = new(Length.Inch.DividedBy(8, Rounding.HalfEven), Length.Inch.DividedBy(4, Rounding.HalfEven), Length.Inch.DividedBy(16, Rounding.HalfEven), Length.Inch.DividedBy(16, Rounding.HalfEven), []);
}

/// <summary>An edge of an item.</summary>
public sealed record ItemEdge(string Item, Edge Edge);

/// <summary>Which edge, as the viewer faces the blouse.</summary>
public enum Edge
{
    /// <summary>The viewer's left.</summary>
    Left,

    /// <summary>The viewer's right.</summary>
    Right,

    /// <summary>The upper one.</summary>
    Top,

    /// <summary>The lower one.</summary>
    Bottom,
}

/// <summary>A thing worn on the blouse and placed by pins.</summary>
/// <param name="Id">Its id.</param>
/// <param name="Name">Its words on the screen.</param>
/// <param name="StandsOn">The item's id or the landmark's name it is placed from.</param>
/// <param name="Size">Width and height.</param>
/// <param name="Place">Nominal place of its centre, from the lower item's centre or, on a landmark, from the landmark's top middle (a corner for a corner): for picture and template.</param>
/// <param name="Pins">Offsets of the pins from the centre; one or more.</param>
/// <param name="Rows">How it is made of rows, or null.</param>
/// <param name="When">Worn only then, or null for always.</param>
public sealed record Item(
    string Id,
    string Name,
    string StandsOn,
    PlanePoint Size,
    PlanePoint Place,
    IReadOnlyList<PlanePoint> Pins,
    RowLayout? Rows,
    Condition? When)
{
    /// <summary>What it stands on instead, the first that is worn, where <see cref="StandsOn"/> is not; empty where it stands on one thing alone.</summary>
    public IReadOnlyList<Support> Otherwise { get; init; } = [];
}

/// <summary>What an item stands on, and the place of its centre from there.</summary>
/// <param name="StandsOn">The item's id or the landmark's name.</param>
/// <param name="Place">As of an <see cref="Item"/>.</param>
public sealed record Support(string StandsOn, PlanePoint Place);

/// <summary>How an item is made of rows of equal parts, such as a rack of ribbons.</summary>
/// <param name="Rows">Parts of each row, from the bottom up; at least one row, each with at least one part.</param>
/// <param name="Part">Width and height of one part.</param>
/// <param name="Gaps">Between each row and the next, from the bottom up: one less than rows.</param>
/// <param name="LastRow">Where a row lies that is shorter than the one beneath.</param>
public sealed record RowLayout(IReadOnlyList<int> Rows, PlanePoint Part, IReadOnlyList<Length> Gaps, LastRow LastRow)
{
    /// <summary>Number of parts.</summary>
    public int Count => Rows.Sum();

    /// <summary>Number of rows.</summary>
    public int RowCount => Rows.Count;

    /// <summary>Width and height of the whole: as wide as the widest row, as high as all rows with the gaps between them.</summary>
    public PlanePoint Size => new(Part.Right.Times(Rows.Max()), Gaps.Aggregate(Part.Up.Times(RowCount), (height, gap) => height + gap));

    /// <summary>The centres of the parts from the centre of the whole, row by row from the bottom, each from the viewer's left.</summary>
    public IReadOnlyList<PlanePoint> Parts
    {
        get
        {
            List<PlanePoint> parts = [];
            PlanePoint corner = new(-Size.Right.DividedBy(2, Rounding.HalfEven), -Size.Up.DividedBy(2, Rounding.HalfEven));
            PlanePoint half = new(Part.Right.DividedBy(2, Rounding.HalfEven), Part.Up.DividedBy(2, Rounding.HalfEven));
            Length up = Length.Zero;
            for (int row = 0; row < RowCount; row++)
            {
                Length spare = Size.Right - Part.Right.Times(Rows[row]);
                Length from = LastRow switch
                {
                    LastRow.Centred => spare.DividedBy(2, Rounding.HalfEven),
                    LastRow.FlushLeft => Length.Zero,
                    LastRow.FlushRight => spare,
                };
                parts.AddRange(Enumerable.Range(0, Rows[row]).Select(part => corner + new PlanePoint(from + Part.Right.Times(part), up) + half));
                up += Part.Up + (row < Gaps.Count ? Gaps[row] : Length.Zero);
            }

            return parts;
        }
    }
}

/// <summary>Where a short top row lies over the row beneath.</summary>
public enum LastRow
{
    /// <summary>Its middle over the middle beneath.</summary>
    Centred,

    /// <summary>Its viewer's left end over the left end beneath.</summary>
    FlushLeft,

    /// <summary>Its viewer's right end over the right end beneath.</summary>
    FlushRight,
}

/// <summary>The direction an item moves in when a gap grows: a unit vector, right and up as the viewer faces the blouse.</summary>
/// <param name="Name">As the file writes it: <c>right</c>, <c>up-left</c>, <c>30 deg</c>.</param>
/// <param name="Right">Component to the viewer's right.</param>
/// <param name="Up">Component upwards.</param>
public sealed record Direction(string Name, double Right, double Up);

/// <summary>One reading to take.</summary>
/// <param name="Id">Its id.</param>
/// <param name="Of">The item read; or a landmark, when a width or height of the garment is read, which no move of an item changes.</param>
/// <param name="From">The lower item's id or the landmark's name at the other end; the same as <paramref name="Of"/> when its own size is read.</param>
/// <param name="At">Where on the item, from its centre.</param>
/// <param name="FromAt">Where on the lower item, from its centre; null: the point of its outline that faces <paramref name="At"/>.</param>
/// <param name="Grows">The way the item moves when the reading grows; null for a size of the item or landmark itself.</param>
/// <param name="Ask">What to do, naming the edges that the jaws touch.</param>
/// <param name="Hint">Technique, or null.</param>
/// <param name="Caution">Caution, or null.</param>
/// <param name="When">Taken only then, or null for always.</param>
public sealed record Step(
    string Id,
    string Of,
    string From,
    PlanePoint At,
    PlanePoint? FromAt,
    Direction? Grows,
    string Ask,
    string? Hint,
    string? Caution,
    Condition? When)
{
    /// <summary>Its short name as the file gives it, or null.</summary>
    public string? Short { get; init; }

    /// <summary>True for a size that is read from below to above; a size across, or a gap, is none.</summary>
    public bool IsHeight { get; init; }

    /// <summary>Its short name: as the file gives it, else the words of its id.</summary>
    public string Name => Short ?? Standard.WordsOf(Id);
}

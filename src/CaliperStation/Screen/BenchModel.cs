using CaliperStation.Core.Bench;
using CaliperStation.Core.Judging;

namespace CaliperStation.Screen;

/// <summary>All that the screen shows, as data, in the bench's unit. Texts are as they came: <see cref="TextCells"/> makes them safe for a terminal where they become cells.</summary>
/// <param name="Standard">Name and edition of the standard.</param>
/// <param name="Tag">The blouse.</param>
/// <param name="Hand">The hand's initials, or empty.</param>
/// <param name="Caliper">Name and health of the caliper in words, e.g. <c>emulated caliper</c>, <c>caliper lost: …</c>.</param>
/// <param name="CaliperTrouble">True when the caliper is lost or absent.</param>
/// <param name="Order">The order of work: readiness lines, then steps under their items, then the signature.</param>
/// <param name="Current">Index in <paramref name="Order"/> of what is to be done now.</param>
/// <param name="Prompt">What to do now.</param>
/// <param name="Live">The live value.</param>
/// <param name="Strip">Where the live value lies between the limits; null when the current step has no limits of its own.</param>
/// <param name="Front">The drawing of the blouse's front.</param>
/// <param name="LastVerdict">The last verdict, or null.</param>
/// <param name="Message">The last message in words, one or two sentences.</param>
/// <param name="Advice">What to move, at most two lines; empty when nothing is outside.</param>
/// <param name="Keys">Key and what it does now, most needed first.</param>
/// <param name="Sides">Whose left and right every word means; empty where nothing has sides.</param>
internal sealed record BenchModel(
    string Standard,
    string Tag,
    string Hand,
    string Caliper,
    bool CaliperTrouble,
    IReadOnlyList<OrderLine> Order,
    int Current,
    BenchPrompt Prompt,
    LiveReadout Live,
    LimitStrip? Strip,
    FrontDrawing Front,
    VerdictLine? LastVerdict,
    string Message,
    IReadOnlyList<string> Advice,
    IReadOnlyList<KeyHint> Keys,
    string Sides = "")
{
    /// <summary>All that can be done now; the keys and the page of help are made of it.</summary>
    public IReadOnlyList<Offer> Offers { get; init; } = [];

    /// <summary>How far the work is: <c>reading 3 of 12, ribbon rack 3 of 4</c>; empty when no reading is wanted.</summary>
    public string Progress { get; init; } = "";

    /// <summary>What is next in two or three words, for the large face: the reading, the pin.</summary>
    public string Next { get; init; } = "";

    /// <summary>What the reading should be, where no strip can show it: the first of a pair.</summary>
    public string Target { get; init; } = "";
}

/// <summary>One line of the order of work.</summary>
/// <param name="Text">Short words.</param>
/// <param name="State">Its state.</param>
/// <param name="IsHeading">True for an item's name over its steps.</param>
/// <param name="Value">The reading in the bench's unit, or empty.</param>
internal sealed record OrderLine(string Text, OrderState State, bool IsHeading, string Value);

/// <summary>The state of a line in the order of work.</summary>
internal enum OrderState
{
    /// <summary>Still to come.</summary>
    Ahead,

    /// <summary>To be done now.</summary>
    Now,

    /// <summary>Done, and nothing it belongs to is wrong.</summary>
    Within,

    /// <summary>Done; a relation over it is borderline.</summary>
    Borderline,

    /// <summary>Done; a relation over it is outside.</summary>
    Outside,

    /// <summary>Done, but an item it depends on was moved since.</summary>
    Stale,

    /// <summary>Gone on with although it is not within; a reason is on record.</summary>
    Aside,

    /// <summary>Done, in work that judges nothing.</summary>
    Done,
}

/// <summary>What to do now.</summary>
/// <param name="Kind">What kind of answer is wanted.</param>
/// <param name="Ask">What to do.</param>
/// <param name="Hint">Technique, or empty.</param>
/// <param name="Caution">Caution, or empty.</param>
internal sealed record BenchPrompt(PromptKind Kind, string Ask, string Hint, string Caution);

/// <summary>What kind of answer is wanted.</summary>
internal enum PromptKind
{
    /// <summary>A readiness line to confirm.</summary>
    Ready,

    /// <summary>A look: yes or no.</summary>
    Look,

    /// <summary>A look that was answered no: it is set right.</summary>
    Amend,

    /// <summary>A reading.</summary>
    Reading,

    /// <summary>Something is not within: move, retake or set aside.</summary>
    Decide,

    /// <summary>The signature.</summary>
    Sign,

    /// <summary>Nothing more; the record is filed.</summary>
    Closed,

    /// <summary>A yes or a no.</summary>
    Question,
}

/// <summary>The live value of the caliper.</summary>
/// <param name="Big">The value in the bench's unit, to be drawn large: digits, sign, point, <c>½</c>, a blank and the letters <c>t in mm</c>; empty when there is none.</param>
/// <param name="Small">The same in other displays, the nearest mark with what is left over: <c>33/64 in + 0.0002 in · 13.10 mm · 0.5158 in</c>.</param>
/// <param name="State">Whether it can be taken.</param>
internal sealed record LiveReadout(string Big, string Small, LiveState State);

/// <summary>Whether the live value can be taken.</summary>
internal enum LiveState
{
    /// <summary>There is no value, or it is too old.</summary>
    None,

    /// <summary>It is moving: hold still.</summary>
    Moving,

    /// <summary>It is steady.</summary>
    Steady,
}

/// <summary>A strip from beyond the lower to beyond the upper limit; positions are fractions of its length, 0 at the left.</summary>
/// <param name="Lower">Where the lower limit lies, or null for none.</param>
/// <param name="Upper">Where the upper limit lies, or null for none.</param>
/// <param name="AcceptLower">Where the acceptance zone begins (guarded rule), or null.</param>
/// <param name="AcceptUpper">Where it ends, or null.</param>
/// <param name="Nominal">Where the nominal lies, or null.</param>
/// <param name="Value">Where the live value lies, cut to 0..1, or null for none.</param>
/// <param name="LowerText">The lower limit in the bench's unit, or empty.</param>
/// <param name="UpperText">The upper limit in the bench's unit, or empty.</param>
internal sealed record LimitStrip(
    double? Lower, double? Upper, double? AcceptLower, double? AcceptUpper, double? Nominal, double? Value, string LowerText, string UpperText)
{
    /// <summary>What would be said of the live value if it were taken now; null without one.</summary>
    public Verdict? WouldBe { get; init; }

    /// <summary>Which of a pair is larger, by how much, and which way that is set right; empty when no pair is judged.</summary>
    public IReadOnlyList<string> Ways { get; init; } = [];

    /// <summary>The limits in words, where there is no room for the bar.</summary>
    public string Words => (LowerText, UpperText) switch
    {
        ("", "") => "",
        ("", var most) => $"at most {most}",
        (var least, "") => $"at least {least}",
        var (least, most) => $"{least} to {most}",
    };
}

/// <summary>The front of the blouse; positions in inches from the middle of the chest, right and up as the viewer faces it.</summary>
/// <param name="Shapes">Landmarks and items, the lower ones first.</param>
/// <param name="Gap">The gap to be measured now, or null.</param>
/// <param name="Arrows">Moves to make, from the pin.</param>
internal sealed record FrontDrawing(IReadOnlyList<FrontShape> Shapes, FrontGap? Gap, IReadOnlyList<FrontArrow> Arrows)
{
    /// <summary>No picture.</summary>
    public static FrontDrawing None { get; } = new([], null, []);

    /// <summary>Every gap of the item that is worked on: the picture keeps its place and scale while one after the other is measured.</summary>
    public IReadOnlyList<FrontGap> Gaps { get; init; } = [];

    /// <summary>What the two sides of the picture are called, and by whom; null where nothing has sides.</summary>
    public (string Left, string Right, string Whose)? Sides { get; init; }
}

/// <summary>A rectangle of the drawing, by its centre and size in inches.</summary>
/// <param name="Name">Short words.</param>
/// <param name="IsLandmark">True for a place of the garment.</param>
/// <param name="Right">Centre.</param>
/// <param name="Up">Centre.</param>
/// <param name="Width">Width.</param>
/// <param name="Height">Height.</param>
/// <param name="State">State of an item.</param>
internal sealed record FrontShape(string Name, bool IsLandmark, double Right, double Up, double Width, double Height, OrderState State)
{
    /// <summary>Rows of equal height that it is made of; 1 for one piece.</summary>
    public int Rows { get; init; } = 1;
}

/// <summary>The gap measured now: between two points in inches; <paramref name="Words"/> names the two edges.</summary>
internal sealed record FrontGap(double FromRight, double FromUp, double ToRight, double ToUp, string Words);

/// <summary>A move drawn at a pin; <paramref name="Right"/> and <paramref name="Up"/> are its place, the others its direction, any length.</summary>
internal sealed record FrontArrow(double Right, double Up, double MoveRight, double MoveUp);

/// <summary>The last verdict.</summary>
/// <param name="Verdict">The verdict.</param>
/// <param name="Word">Its word and what it is about, e.g. <c>WITHIN  rack height</c>.</param>
/// <param name="Detail">Value, limits, margin and conformance probability.</param>
internal sealed record VerdictLine(Verdict Verdict, string Word, string Detail)
{
    /// <summary>True when it is of an earlier reading than the one that is wanted now.</summary>
    public bool IsOlder { get; init; }

    /// <summary>True when it is of the value that is shown large, and may stand large beside it.</summary>
    public bool IsOfShown { get; init; } = true;
}

/// <summary>A key and what it does.</summary>
internal sealed record KeyHint(string Key, string Does);

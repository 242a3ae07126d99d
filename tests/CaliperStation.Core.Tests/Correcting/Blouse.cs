using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Correcting;

/// <summary>Builds small invented standards by hand; figures are 64ths of an inch unless a name says otherwise.</summary>
internal sealed class Blouse
{
    private readonly List<Item> _items = [];
    private readonly List<Step> _steps = [];
    private readonly List<Relation> _relations = [];

    internal LengthDisplay Show { get; init; } = LengthDisplay.Ticks;

    internal DecisionRule Rule { get; init; } = DecisionRule.Guarded;

    internal static Length L(long sixtyFourths) => Length.FromSixtyFourths(sixtyFourths);

    /// <summary>A move as its pins make it: name, to the right, up.</summary>
    internal static IEnumerable<(string Pin, Length Right, Length Up)> Pins(ItemMove move) => move.Pins.Select(pin => (pin.Name, pin.Right, pin.Up));

    internal static PlanePoint P(long right, long up) => new(L(right), L(up));

    internal static Direction Way(string name)
    {
        double d = Math.Sqrt(0.5);
        (double right, double up) = name switch
        {
            "right" => (1.0, 0.0),
            "left" => (-1.0, 0.0),
            "up" => (0.0, 1.0),
            "down" => (0.0, -1.0),
            "up-right" => (d, d),
            "up-left" => (-d, d),
            "down-right" => (d, -d),
            "down-left" => (-d, -d),
            _ => (Math.Cos(double.Parse(name, System.Globalization.CultureInfo.InvariantCulture) * Math.PI / 180), Math.Sin(double.Parse(name, System.Globalization.CultureInfo.InvariantCulture) * Math.PI / 180)),
        };
        return new Direction(name, right, up);
    }

    internal Blouse Item(string id, string on, long width, long height, params PlanePoint[] pins)
    {
        _items.Add(new Item(id, id, on, P(width, height), P(0, 0), pins, null, null));
        return this;
    }

    /// <summary>Places the item just added, from the centre of what it stands on or from a landmark's top middle.</summary>
    internal Blouse Placed(long right, long up)
    {
        _items[^1] = _items[^1] with { Place = P(right, up) };
        return this;
    }

    internal Blouse Step(string id, string of, string from, long right, long up, string? grows, PlanePoint? fromAt = null)
    {
        _steps.Add(new Step(id, of, from, P(right, up), fromAt, grows is null ? null : Way(grows), id, null, null, null));
        return this;
    }

    internal Blouse Rule64(string id, RelationKind kind, long? nominal, long within, params string[] of) =>
        Add(new Relation(id, kind, of, [Around(kind, nominal, within)], null, null, [], [], null, null));

    internal Blouse Add(Relation relation)
    {
        _relations.Add(relation);
        return this;
    }

    internal Standard Build() => new(
        "Invented", "1", LengthUnit.Inch, Show, Sides.Viewer,
        new JudgingSettings(Rule, 0.95, L(2), Length.FromMicrometres(100), Length.FromMicrometres(20)),
        [], [], [], _items, _steps, _relations, new string('0', 64));

    internal Plan Plan() => CaliperStation.Core.Standards.Plan.For(Build(), new Dictionary<string, string>());

    internal static Limits Around(RelationKind kind, long? nominal, long within) => kind.Word switch
    {
        "equal" => new Limits(null, L(within), L(0)),
        "not-more-than" => new Limits(null, L(within), null),
        "gap" or "pitch" or "level" or "flush" or "size" or "sum" =>
            new Limits(L((nominal ?? 0) - within), L((nominal ?? 0) + within), L(nominal ?? 0)),
        _ => throw new ArgumentException("Angles and shares have numbers, not lengths.", nameof(kind)),
    };

    /// <summary>A coat on which every direction of every item is read: a rack, two badges on it, a device at the collar.</summary>
    internal static Blouse AllSeen(long within = 2) => new Blouse().WithAllSeen(within);

    internal Blouse WithAllSeen(long within = 2) => this
        .Item("rack", "pocket", 264, 48, P(-96, 0), P(96, 0)).Placed(0, 32)
        .Item("badge", "rack", 96, 32, P(-32, 0), P(32, 0)).Placed(0, 56)
        .Item("badge-2", "badge", 128, 32, P(-48, 0), P(48, 0)).Placed(0, 40)
        .Item("device", "collar", 64, 64, P(-16, 16), P(16, -16)).Placed(56, 88)
        .Step("rack-left", "rack", "pocket", -132, 0, "right")
        .Step("rack-right", "rack", "pocket", 132, 0, "left")
        .Step("rack-low-left", "rack", "pocket", -96, -24, "up")
        .Step("rack-low-right", "rack", "pocket", 96, -24, "up")
        .Step("badge-gap-left", "badge", "rack", -32, -16, "up")
        .Step("badge-gap-right", "badge", "rack", 32, -16, "up")
        .Step("badge-left", "badge", "rack", -48, 0, "right")
        .Step("badge-right", "badge", "rack", 48, 0, "left")
        .Step("badge-2-gap-left", "badge-2", "badge", -40, -16, "up")
        .Step("badge-2-gap-right", "badge-2", "badge", 40, -16, "up")
        .Step("badge-2-left", "badge-2", "badge", -64, 0, "right")
        .Step("badge-2-right", "badge-2", "badge", 64, 0, "left")
        .Step("device-corner", "device", "collar", -23, -23, "up-right")
        .Step("device-low", "device", "collar", 20, -32, "up")
        .Step("device-tilt", "device", "collar", -30, 10, "160")
        .Rule64("rack-centred", RelationKind.Equal, null, within, "rack-left", "rack-right")
        .Rule64("rack-height", RelationKind.Gap, 8, within, "rack-low-left", "rack-low-right")
        .Rule64("badge-height", RelationKind.Gap, 16, within, "badge-gap-left", "badge-gap-right")
        .Rule64("badge-centred", RelationKind.Equal, null, within, "badge-left", "badge-right")
        .Rule64("badge-2-height", RelationKind.Gap, 8, within, "badge-2-gap-left", "badge-2-gap-right")
        .Rule64("badge-2-centred", RelationKind.Equal, null, within, "badge-2-left", "badge-2-right")
        .Rule64("device-corner", RelationKind.Gap, 64, within, "device-corner")
        .Rule64("device-low", RelationKind.Gap, 56, within, "device-low")
        .Rule64("device-tilt", RelationKind.Gap, 20, within, "device-tilt");

    /// <summary>The rack and two badges of the demonstration, in shape: centred, level, each on the one below.</summary>
    internal static Blouse RackAndBadges() => new Blouse()
        .Item("rack", "pocket", 264, 48, P(-96, 0), P(96, 0)).Placed(0, 32)
        .Item("badge", "rack", 96, 32, P(-32, 0), P(32, 0)).Placed(0, 56)
        .Item("badge-2", "badge", 128, 32, P(-48, 0), P(48, 0)).Placed(0, 40)
        .Step("rack-left", "rack", "pocket", -132, 0, "right")
        .Step("rack-right", "rack", "pocket", 132, 0, "left")
        .Step("rack-low-left", "rack", "pocket", -96, -24, "up")
        .Step("rack-low-right", "rack", "pocket", 96, -24, "up")
        .Step("badge-gap-left", "badge", "rack", -32, -16, "up")
        .Step("badge-gap-right", "badge", "rack", 32, -16, "up")
        .Step("badge-left", "badge", "rack", -48, 0, "right")
        .Step("badge-right", "badge", "rack", 48, 0, "left")
        .Step("badge-2-gap", "badge-2", "badge", 0, -16, "up")
        .Rule64("rack-centred", RelationKind.Equal, null, 2, "rack-left", "rack-right")
        .Rule64("rack-height", RelationKind.Gap, 8, 1, "rack-low-left", "rack-low-right")
        .Rule64("rack-level", RelationKind.Level, null, 1, "rack-low-left", "rack-low-right")
        .Rule64("badge-height", RelationKind.Gap, 16, 2, "badge-gap-left", "badge-gap-right")
        .Rule64("badge-centred", RelationKind.Equal, null, 2, "badge-left", "badge-right")
        .Rule64("badge-2-gap", RelationKind.Gap, 8, 2, "badge-2-gap");
}

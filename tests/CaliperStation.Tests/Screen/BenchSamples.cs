using CaliperStation.Core.Bench;
using CaliperStation.Core.Judging;
using CaliperStation.Screen;

namespace CaliperStation.Tests.Screen;

/// <summary>Models of an invented sitting, as the presenter would make them.</summary>
internal static class BenchSamples
{
    private static readonly KeyHint[] ReadingKeys =
        [new(BenchKeys.NameOf(BenchAction.Enter), "take"), new(BenchKeys.NameOf(BenchAction.NotSo), "again"), new(BenchKeys.NameOf(BenchAction.Stop), "stop, resume later")];

    private static readonly KeyHint[] DecideKeys =
        [new(BenchKeys.NameOf(BenchAction.Moved), "moved"), new(BenchKeys.NameOf(BenchAction.NotSo), "again"), new(BenchKeys.NameOf(BenchAction.Aside), "set aside"), new(BenchKeys.NameOf(BenchAction.Stop), "stop")];

    public static BenchModel Ready { get; } = new(
        "Quayside Watch, parade blouse 2026-1",
        "QG-017",
        "mk",
        "emulated caliper",
        false,
        Order(1, OrderState.Ahead),
        1,
        new BenchPrompt(PromptKind.Ready, "Pocket flaps tacked and lying flat", string.Empty, "Iron and steam burn: let the cloth cool before you handle it."),
        new LiveReadout(string.Empty, string.Empty, LiveState.None),
        null,
        Front(null, OrderState.Ahead),
        null,
        "Hands: done.",
        [],
        [new(BenchKeys.NameOf(BenchAction.Enter), "it is so"), new(BenchKeys.NameOf(BenchAction.Stop), "stop, resume later")]);

    public static BenchModel Reading { get; } = Ready with
    {
        Order = Order(6, OrderState.Within),
        Current = 6,
        Prompt = new BenchPrompt(
            PromptKind.Reading,
            "Top of the pocket to the bottom of the rack, at the left pin",
            "Keep the caliper square to the pocket's edge; touch, do not press.",
            "Mind the pin points behind the cloth."),
        Live = new LiveReadout("4½ t", "9/64 in · 0.1406 in · 3.57 mm", LiveState.Steady),
        Strip = new LimitStrip(0.25, 0.75, 0.35, 0.65, 0.5, 0.62, "3½ t", "4½ t"),
        Front = Front(new FrontGap(3.0, 0, 3.0, 0.125, "top of the left pocket to the bottom of the ribbon rack"), OrderState.Ahead),
        LastVerdict = new VerdictLine(Verdict.Within, "WITHIN  rack centred", "difference 0 t · limit 1 t · pc 99.9 %"),
        Message = "The rack stands evenly over the pocket.",
        Keys = ReadingKeys,
    };

    public static BenchModel Outside { get; } = Reading with
    {
        Order = Order(7, OrderState.Outside),
        Current = 7,
        Prompt = new BenchPrompt(PromptKind.Decide, "The rack is not at its height: move it, read it again, or set it aside.", string.Empty, "Mind the pin points behind the cloth."),
        Live = new LiveReadout("7½ t", "15/64 in · 0.2344 in · 5.95 mm", LiveState.Steady),
        Strip = new LimitStrip(0.25, 0.75, 0.35, 0.65, 0.5, 1, "3½ t", "4½ t"),
        Front = Front(null, OrderState.Outside) with { Arrows = [new FrontArrow(3.0, 0.5, 0, -1), new FrontArrow(6.0, 0.5, 1, -1)] },
        LastVerdict = new VerdictLine(Verdict.Outside, "OUTSIDE  rack height, left pin", "7½ t · limits 3½ t to 4½ t · beyond by 3 t · pc 0.0 %"),
        Message = "Readings over the rack wait until it is within.",
        Advice = ["ribbon rack, left pin: down 3½ t; right pin: right 1 t, down 3½ t", "Read again after it: rack-left, rack-right, both heights."],
        Keys = DecideKeys,
        Offers = [new(Act.Aside, "set aside", "") { Word = "aside", Takes = "REASON" }],
    };

    public static BenchModel Sign { get; } = Reading with
    {
        Order = Order(15, OrderState.Within),
        Current = 15,
        Prompt = new BenchPrompt(PromptKind.Sign, "All is within. Sign the record of QG-017.", string.Empty, string.Empty),
        Live = new LiveReadout(string.Empty, string.Empty, LiveState.None),
        Strip = null,
        Front = Front(null, OrderState.Within),
        Keys = [new(BenchKeys.NameOf(BenchAction.Enter), "sign"), new(BenchKeys.NameOf(BenchAction.Stop), "stop, resume later")],
    };

    public static BenchModel Lost { get; } = Reading with
    {
        Caliper = "caliper lost: unplugged",
        CaliperTrouble = true,
        Live = new LiveReadout(string.Empty, "no value from the caliper yet", LiveState.None),
        Strip = Reading.Strip! with { Value = null },
        Message = "The caliper is gone. Type values, or plug it in again: it is taken up by itself.",
    };

    public static BenchModel Across { get; } = Reading with
    {
        Live = new LiveReadout("16½ t", "33/64 in · 0.5156 in · 13.10 mm", LiveState.Moving),
        Strip = null,
        Front = Front(new FrontGap(1.75, -1, 2.4375, -1, "left edge of the pocket to the left edge of the rack"), OrderState.Ahead),
    };

    private static OrderLine[] Order(int current, OrderState rack)
    {
        OrderLine[] lines =
        [
            new("Hands or gloves", OrderState.Ahead, false, string.Empty),
            new("Pocket flaps flat", OrderState.Ahead, false, string.Empty),
            new("Shoulder cord on", OrderState.Ahead, false, string.Empty),
            new("ribbon rack", OrderState.Ahead, true, string.Empty),
            new("left edge", OrderState.Ahead, false, "14 t"),
            new("right edge", OrderState.Ahead, false, "14 t"),
            new("height, left pin", OrderState.Ahead, false, "7½ t"),
            new("height, right pin", OrderState.Ahead, false, string.Empty),
            new("first badge", OrderState.Ahead, true, string.Empty),
            new("gap, left pin", OrderState.Ahead, false, "8 t"),
            new("gap, right pin", OrderState.Ahead, false, "8 t"),
            new("left end", OrderState.Ahead, false, "42 t"),
            new("right end", OrderState.Ahead, false, "42 t"),
            new("left collar device", OrderState.Ahead, true, string.Empty),
            new("from the corner", OrderState.Ahead, false, "32 t"),
            new("Signature", OrderState.Ahead, false, string.Empty),
        ];
        for (int index = 0; index < lines.Length; index++)
        {
            OrderState done = index is 3 or 6 ? rack : OrderState.Within;
            lines[index] = lines[index] with
            {
                State = index < current ? done : OrderState.Ahead,
                Value = index < current ? lines[index].Value : string.Empty,
            };
        }

        lines[current] = lines[current] with { State = OrderState.Now };
        return lines;
    }

    private static FrontDrawing Front(FrontGap? gap, OrderState rack) => new(
        [
            new FrontShape("right pocket", true, -4.5, -3, 5.5, 6, OrderState.Ahead),
            new FrontShape("left pocket", true, 4.5, -3, 5.5, 6, OrderState.Ahead),
            new FrontShape("left collar corner", true, 2, 6, 2.5, 1.5, OrderState.Ahead),
            new FrontShape("ribbon rack", false, 4.5, 0.5, 4.125, 0.75, rack),
            new FrontShape("first badge", false, 4.5, 1.375, 1.5, 0.5, OrderState.Ahead),
            new FrontShape("left collar device", false, 2, 6, 1, 1, OrderState.Ahead),
        ],
        gap,
        []);
}

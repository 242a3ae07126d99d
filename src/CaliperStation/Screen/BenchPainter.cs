using CaliperStation.Core.Judging;
using CaliperStation.Core.Records;

namespace CaliperStation.Screen;

/// <summary>Draws the screen of a model on a canvas, but for the typed line and the row of keys. Pure: the same model and size give the same cells.</summary>
internal static class BenchPainter
{
    /// <summary>The screen.</summary>
    public static Canvas Paint(BenchModel model, int width, int height, bool large = false)
    {
        Canvas canvas = new(width, height);
        bool isPlain = BenchLayout.IsPlainAt(canvas.Width, canvas.Height);
        int columns = BenchLayout.TextWidth(canvas.Width, canvas.Height);

        // A text is never wrapped to more rows than the screen has, so that a hostile one costs no more than a long one.
        int most = canvas.Height + 1;
        IReadOnlyList<StyledLine> prompt = TextPainter.Prompt(model.Prompt, columns, most);
        IReadOnlyList<StyledLine> hint = isPlain ? [] : TextPainter.Hint(model.Prompt, columns, most);
        IReadOnlyList<StyledLine> advice = TextPainter.Advice(model.Advice, columns, most);
        BenchLayout layout = BenchLayout.Compute(canvas.Width, canvas.Height, prompt.Count, hint.Count, advice.Count, model.Strip is { } judged ? judged.Ways.Count > 0 ? 4 : 3 : model.Target.Length > 0 ? 1 : 0, model.Front.Shapes.Count > 0, large);
        for (int row = 0; row < layout.Divider.Height; row++)
        {
            canvas.Put(layout.Divider.X, layout.Divider.Y + row, '│', CellStyle.Quiet);
        }

        PaintHeader(canvas, layout.Header, model);
        OrderPainter.Paint(canvas, layout.Order, model.Order, model.Current);
        canvas.Draw(layout.Front, FrontPainter.Paint(model.Front, layout.Front.Width, layout.Front.Height));
        int promptRows = Math.Min(prompt.Count, layout.Prompt.Height);
        PaintLines(canvas, layout.Prompt, TextPainter.Prompt(model.Prompt, columns, promptRows));
        PaintLines(canvas, layout.Prompt.From(promptRows), isPlain ? [] : TextPainter.Hint(model.Prompt, columns, layout.Prompt.Height - promptRows));
        PaintLarge(canvas, layout.Next, model.Next, CellStyle.Strong);
        PaintValue(canvas, layout.Value, model);
        PaintOther(canvas, layout.Other, model.Live, model.Strip?.WouldBe);
        if (model.Strip is { } strip && isPlain)
        {
            string state = model.Live.State == LiveState.Moving ? "hold still" : strip.WouldBe is { } verdict ? $"would be {RecordWords.Of(verdict)}" : model.Live.State == LiveState.None ? "wanted" : "";
            canvas.Write(layout.Strip, TextCells.FitParts(strip.Words, state, layout.Strip.Width), CellStyle.Ground);
        }
        else if (model.Strip is { } bar)
        {
            canvas.Draw(layout.Strip, StripPainter.Paint(bar, layout.Strip.Width, layout.Strip.Height));
        }
        else
        {
            canvas.Write(layout.Strip.Row(Math.Max(0, Math.Min(1, layout.Strip.Height - 1))), TextCells.Fit(model.Target, layout.Strip.Width), CellStyle.Ground);
        }

        PaintVerdict(canvas, layout.Verdict, model, isLarge: !layout.Next.IsEmpty);
        PaintLines(canvas, layout.Advice, TextPainter.Advice(model.Advice, columns, layout.Advice.Height));
        PaintMessage(canvas, layout.Message, advice.Count == 0 ? layout.Advice : layout.Message.From(layout.Message.Height), model, isPlain);
        return canvas;
    }

    private static void PaintLines(Canvas canvas, Region region, IReadOnlyList<StyledLine> lines)
    {
        for (int row = 0; row < Math.Min(lines.Count, region.Height); row++)
        {
            canvas.Write(region.Row(row), lines[row].Text, lines[row].Style);
        }
    }

    private static void PaintHeader(Canvas canvas, Region region, BenchModel model)
    {
        if (region.IsEmpty)
        {
            return;
        }

        // What must be read is never cut: of the rest the last parts are left out whole.
        string caliper = (model.CaliperTrouble ? "! " : string.Empty) + model.Caliper;
        string first = string.Join("  ", new[] { model.Tag, model.Hand }.Where(part => part.Length > 0));
        string[] progress = model.Progress.Split(", ", 2);
        (string Blouse, string Caliper)[] choices =
        [
            (string.Join("  ", new[] { first, model.Progress, model.Standard }.Where(part => part.Length > 0)), caliper),
            (string.Join("  ", new[] { first, model.Progress }.Where(part => part.Length > 0)), caliper),
            (string.Join("  ", new[] { first, progress[0] }.Where(part => part.Length > 0)), caliper),
        ];
        (string blouse, string shown) = choices.FirstOrDefault(each => TextCells.Columns(each.Blouse) + 2 + TextCells.Columns(each.Caliper) <= region.Width, (Blouse: choices[2].Blouse, Caliper: ""));
        shown = shown.Length > 0 ? shown : TextCells.Fit(caliper, Math.Max(region.Width / 2, region.Width - TextCells.Columns(blouse) - 2));
        canvas.Write(region, TextCells.Fit(blouse, region.Width - TextCells.Columns(shown) - 2), CellStyle.Heading);
        canvas.Write(region, shown, model.CaliperTrouble ? CellStyle.Caution : CellStyle.Quiet, region.Width - TextCells.Columns(shown));
    }

    private static void PaintValue(Canvas canvas, Region region, BenchModel model)
    {
        if (model.Live.Big.Length == 0)
        {
            string words = model.Prompt.Kind == PromptKind.Reading ? model.Live.Small : string.Empty;
            canvas.Write(region.Row(region.Height / 2), TextCells.Fit(words, region.Width), CellStyle.Quiet);
            return;
        }

        IReadOnlyList<string> rows = LargeFigures.Render(model.Live.Big, region.Width, region.Height);
        Region face = region.From((region.Height - rows.Count) / 2);
        for (int row = 0; row < rows.Count; row++)
        {
            canvas.Write(face.Row(row), rows[row], model.Live.State == LiveState.Steady ? CellStyle.Strong : CellStyle.Quiet);
        }
    }

    private static void PaintOther(Canvas canvas, Region region, LiveReadout live, Verdict? wouldBe)
    {
        if (live.Big.Length == 0)
        {
            return;
        }

        string state = live.State switch
        {
            LiveState.None => string.Empty,
            LiveState.Moving => "moving, hold still",
            LiveState.Steady => "steady",
        } + (wouldBe is { } verdict ? $", would be {RecordWords.Of(verdict)}" : string.Empty);
        canvas.Write(region, TextCells.FitParts(state, live.Small, region.Width), live.State == LiveState.Steady ? CellStyle.Ground : CellStyle.Quiet);
    }

    /// <summary>Large letters where they have room, else the same words on a line.</summary>
    private static int PaintLarge(Canvas canvas, Region region, string words, CellStyle style)
    {
        IReadOnlyList<string> rows = region.Height < 3 ? [] : LargeFigures.Words(words, region.Width) ?? [TextCells.FitWords(words, region.Width)];
        for (int row = 0; row < rows.Count; row++)
        {
            canvas.Write(region.Row(row), rows[row], style);
        }

        return rows.Count;
    }

    private static void PaintVerdict(Canvas canvas, Region region, BenchModel model, bool isLarge)
    {
        VerdictLine? verdict = model.LastVerdict;
        bool isOfShown = verdict is { IsOfShown: true, IsOlder: false };
        if (isLarge && region.Height >= 5 && (isOfShown || model.Strip?.WouldBe is not null))   // large is only what is said of the large value
        {
            Verdict large = isOfShown ? verdict!.Verdict : model.Strip!.WouldBe!.Value;
            region = region.From(PaintLarge(canvas, region, isOfShown ? RecordWords.Of(large) : $"{RecordWords.Of(large)}?", isOfShown ? Marks.StyleOf(Marks.StateOf(large)) : CellStyle.Quiet));
        }

        if (verdict is null || region.IsEmpty)
        {
            return;
        }

        OrderState state = Marks.StateOf(verdict.Verdict);

        string word = verdict.IsOlder ? $"before: {Marks.Of(state)} {verdict.Word.ToLowerInvariant()}" : $"{Marks.Of(state)} {verdict.Word}";
        canvas.Write(region.Row(0), TextCells.Fit(word, region.Width), verdict.IsOlder ? CellStyle.Quiet : Marks.StyleOf(state));
        if (state == OrderState.Outside && !verdict.IsOlder)
        {
            canvas.Tint(region.Row(0), CellStyle.Outside);
        }

        IReadOnlyList<string> detail = TextPainter.Detail(verdict.Detail, region.Width, region.Height - 1);
        for (int row = 0; row < detail.Count; row++)
        {
            canvas.Write(region.Row(row + 1), detail[row], verdict.IsOlder ? CellStyle.Quiet : CellStyle.Ground);
        }
    }

    /// <summary>What was said last; a long one grows upward into the free rows above.</summary>
    private static void PaintMessage(Canvas canvas, Region region, Region free, BenchModel model, bool isPlain)
    {
        // The plain layout has no header, and a lost caliper must be told in every layout.
        string message = isPlain && model.CaliperTrouble ? "! " + model.Caliper + "  " + model.Message : model.Message;
        IReadOnlyList<string> lines = TextCells.Wrap(message, region.Width, free.Height + region.Height);
        int more = Math.Max(0, lines.Count - region.Height);
        region = new Region(region.X, region.Y - more, region.Width, region.Height + more);
        for (int row = 0; row < lines.Count; row++)
        {
            canvas.Write(region.Row(row), lines[row], isPlain && model.CaliperTrouble ? CellStyle.Caution : CellStyle.Ground);
        }
    }
}

namespace CaliperStation.Screen;

/// <summary>Where everything of the screen lies, from its size alone and the rows that its texts need.</summary>
/// <param name="IsPlain">True for the one-column layout of a small terminal.</param>
/// <param name="Header">Blouse, standard, caliper; empty in the plain layout.</param>
/// <param name="Order">The order of work; empty in the plain layout.</param>
/// <param name="Front">The drawing; empty in the plain layout.</param>
/// <param name="Divider">The line between the two columns; empty in the plain layout.</param>
/// <param name="Prompt">What to do, with caution and hint.</param>
/// <param name="Value">The live value.</param>
/// <param name="Other">The live value in other displays.</param>
/// <param name="Strip">The strip; in the plain layout the limits in words.</param>
/// <param name="Verdict">The last verdict.</param>
/// <param name="Advice">What to move.</param>
/// <param name="Message">The last message.</param>
/// <param name="Entry">The typed entry.</param>
/// <param name="Keys">The line of keys.</param>
internal sealed record BenchLayout(
    bool IsPlain,
    Region Header,
    Region Order,
    Region Front,
    Region Divider,
    Region Prompt,
    Region Value,
    Region Other,
    Region Strip,
    Region Verdict,
    Region Advice,
    Region Message,
    Region Entry,
    Region Keys)
{
    /// <summary>What is next, in large letters; empty but in the large face.</summary>
    public Region Next { get; init; }

    /// <summary>Least columns and rows of the large face.</summary>
    public static (int Width, int Height) Large => (120, 40);

    /// <summary>True when the large face, where it is wanted, has room.</summary>
    public static bool IsLargeAt(int width, int height) => width >= Large.Width && height >= Large.Height;

    /// <summary>Least columns of the two-column layout: below, the right column could not hold a prompt beside a drawing.</summary>
    public const int MinWidth = 60;

    /// <summary>Least rows of the two-column layout: below, a block would be without a row.</summary>
    public const int MinHeight = 16;

    private static Region None => default;

    /// <summary>True when the size calls for the plain layout.</summary>
    public static bool IsPlainAt(int width, int height) => width < MinWidth || height < MinHeight;

    /// <summary>Where the kit's own rows lie, which are the same whatever is drawn above them: empty regions have no room.</summary>
    public static (Region Entry, Region Keys) OwnRows(int width, int height) => Compute(width, height, 1, 0, 0) is var layout ? (layout.Entry, layout.Keys) : default;

    /// <summary>Columns of the texts, known before their rows are.</summary>
    public static int TextWidth(int width, int height) => IsPlainAt(width, height) ? Math.Max(0, width) : width - LeftWidth(width) - 2;

    /// <summary>The layout.</summary>
    /// <param name="width">Columns of the terminal, 0 or more.</param>
    /// <param name="height">Rows of the terminal, 0 or more.</param>
    /// <param name="promptRows">Rows of the prompt with its caution at <see cref="TextWidth"/>.</param>
    /// <param name="hintRows">Rows of the hint.</param>
    /// <param name="adviceRows">Rows of the advice at <see cref="TextWidth"/>.</param>
    /// <param name="stripRows">Rows of the strip, or of what stands for it.</param>
    /// <param name="large">True when the large face is wanted.</param>
    /// <param name="hasFront">False where there is nothing to draw: the order of work has its room.</param>
    public static BenchLayout Compute(int width, int height, int promptRows, int hintRows, int adviceRows, int stripRows = 3, bool hasFront = true, bool large = false) =>
        IsPlainAt(width, height) ? Plain(Math.Max(0, width), Math.Max(0, height), promptRows, adviceRows, Math.Min(1, stripRows)) : Full(width, height, promptRows, hintRows, adviceRows, stripRows, hasFront, large && IsLargeAt(width, height));

    /// <summary>Three eighths for order and drawing, the rest for what is read at arm's length.</summary>
    private static int LeftWidth(int width) => Math.Clamp(width * 3 / 8, 20, 60);

    private static BenchLayout Full(int width, int height, int promptRows, int hintRows, int adviceRows, int stripRows, bool hasFront, bool large)
    {
        int left = LeftWidth(width);
        int body = height - 2;
        int orderRows = hasFront ? Math.Max(5, body * 4 / 10) : body - 1;

        // The prompt keeps five rows even when it needs fewer, so that the value does not jump from step to step. The value has
        // its small face before the hint has a row, and the large one after it.
        int promptLeast = Math.Max(2, promptRows);
        int hintOver = Math.Max(0, hintRows - (promptLeast - promptRows));
        int[] rows = RowBudget.Share(
            body,
            new RowRequest(1, 1),
            new RowRequest(2, promptLeast),
            new RowRequest(2, Math.Max(2, adviceRows)),
            new RowRequest(1, 3),
            new RowRequest(2, large ? 6 : 3),
            new RowRequest(1, Math.Max(3, stripRows)),
            new RowRequest(1, 2),
            new RowRequest(0, hintOver),
            new RowRequest(0, 2),
            new RowRequest(0, 1),
            new RowRequest(0, Math.Max(0, 5 - promptLeast - hintOver)),
            new RowRequest(0, height >= 36 ? 5 : 0),
            new RowRequest(large ? 4 : 0, large ? 4 : 0));
        Stack stack = new(left + 2, 1, width - left - 2);
        Region prompt = stack.Next(rows[1] + rows[7] + rows[10]);
        Region next = stack.Next(rows[12]);
        Region value = stack.Next(rows[3] + rows[8] + rows[11]);
        Region other = stack.Next(rows[9]);
        Region strip = stack.Next(rows[5]);
        Region verdict = stack.Next(rows[4]);
        Region advice = stack.Next(rows[2]);
        Region message = stack.Next(body - rows.Sum() + rows[6]);
        return new BenchLayout(
            false,
            new Region(0, 0, width, 1),
            new Region(0, 1, left, orderRows + 1),
            new Region(0, 2 + orderRows, left, body - orderRows - 1),
            new Region(left, 1, 1, body),
            prompt,
            value,
            other,
            strip,
            verdict,
            advice,
            message,
            stack.Next(rows[0]),
            new Region(0, height - 1, width, 1))
        {
            Next = next,
        };
    }

    private static BenchLayout Plain(int width, int height, int promptRows, int adviceRows, int stripRows)
    {
        int[] rows = RowBudget.Share(
            height,
            new RowRequest(1, 1),
            new RowRequest(1, promptRows),
            new RowRequest(1, 1),
            new RowRequest(1, 1),
            new RowRequest(0, stripRows),
            new RowRequest(0, adviceRows),
            new RowRequest(1, 1),
            new RowRequest(0, 2),
            new RowRequest(0, 2),
            new RowRequest(0, 1));
        Stack stack = new(0, 0, width);
        Region prompt = stack.Next(rows[1]);
        Region value = stack.Next(rows[2] + rows[7]);
        Region strip = stack.Next(rows[4]);
        Region verdict = stack.Next(rows[3] + rows[9]);
        Region advice = stack.Next(rows[5]);
        Region message = stack.Next(rows[8]);
        stack.Skip(height - rows.Sum());
        return new BenchLayout(
            true, None, None, None, None, prompt, value, None, strip, verdict, advice, message, stack.Next(rows[0]), stack.Next(rows[6]));
    }

    /// <summary>Regions of one column, one under the other.</summary>
    private struct Stack(int x, int y, int width)
    {
        private int _y = y;

        public Region Next(int rows)
        {
            Region region = new(x, _y, width, rows);
            _y += rows;
            return region;
        }

        public void Skip(int rows) => _y += rows;
    }
}

/// <summary>What a block of rows needs: the least it can be shown in, and what it would like.</summary>
internal readonly record struct RowRequest(int Least, int Liked);

/// <summary>Shares a column's rows among blocks.</summary>
internal static class RowBudget
{
    /// <summary>
    /// Gives every request its minimum in priority order, the first most needed, then its preferred height while rows remain.
    /// The sum is never more than <paramref name="rows"/>; what nobody wants is not given out.
    /// </summary>
    public static int[] Share(int rows, params ReadOnlySpan<RowRequest> requests)
    {
        int[] given = new int[requests.Length];
        int left = Math.Max(0, rows);
        for (int index = 0; index < requests.Length; index++)
        {
            given[index] = Math.Clamp(requests[index].Least, 0, left);
            left -= given[index];
        }

        for (int index = 0; index < requests.Length; index++)
        {
            int more = Math.Clamp(requests[index].Liked - given[index], 0, left);
            given[index] += more;
            left -= more;
        }

        return given;
    }
}

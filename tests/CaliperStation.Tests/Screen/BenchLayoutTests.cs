using CaliperStation.Screen;
using CsCheck;

namespace CaliperStation.Tests.Screen;

public class BenchLayoutTests
{
    [Fact]
    public void Regions_never_meet_and_never_leave_the_screen() =>
        Gen.Select(Gen.Int[0, 220], Gen.Int[0, 80], Gen.Int[0, 40], Gen.Int[0, 9], Gen.Int[0, 9]).Sample(
            (width, height, prompt, hint, advice) =>
            {
                bool[,] taken = new bool[width, height];
                foreach (Region region in Regions(BenchLayout.Compute(width, height, prompt, hint, advice)).Where(region => !region.IsEmpty))
                {
                    for (int x = region.X; x < region.Right; x++)
                    {
                        for (int y = region.Y; y < region.Bottom; y++)
                        {
                            Assert.False(taken[x, y]);
                            taken[x, y] = true;
                        }
                    }
                }
            },
            iter: 300);

    [Fact]
    public void Entry_and_keys_are_the_last_two_rows_at_every_usable_size()
    {
        for (int height = 10; height <= 60; height++)
        {
            for (int width = 20; width <= 200; width += 9)
            {
                BenchLayout layout = BenchLayout.Compute(width, height, 30, 9, 9);
                Assert.Equal(height - 1, layout.Keys.Y);
                Assert.Equal((height - 2, 1), (layout.Entry.Y, layout.Entry.Height));
                Assert.True(layout.Value.Height >= 1 && layout.Verdict.Height >= 1);
            }
        }
    }

    [Theory]
    [InlineData(80, 24, false)]
    [InlineData(120, 40, false)]
    [InlineData(60, 16, false)]
    [InlineData(59, 24, true)]
    [InlineData(80, 15, true)]
    [InlineData(40, 10, true)]
    public void A_small_terminal_gets_the_plain_layout(int width, int height, bool isPlain) =>
        Assert.Equal(isPlain, BenchLayout.Compute(width, height, 3, 1, 0).IsPlain);

    [Fact]
    public void The_value_stays_where_it_is_from_one_usual_prompt_to_the_next() =>
        Assert.Single(Enumerable.Range(1, 5).Select(rows => BenchLayout.Compute(80, 24, rows, 5 - rows, 0).Value).Distinct());

    [Fact]
    public void The_large_face_has_its_rows_at_80_by_24_and_the_double_one_at_120_by_40()
    {
        Assert.Equal(5, BenchLayout.Compute(80, 24, 3, 2, 2).Value.Height);
        Assert.Equal(10, BenchLayout.Compute(120, 40, 3, 2, 2).Value.Height);
    }

    private static Region[] Regions(BenchLayout layout) =>
    [
        layout.Header, layout.Order, layout.Front, layout.Divider, layout.Prompt, layout.Value, layout.Other, layout.Strip,
        layout.Verdict, layout.Advice, layout.Message, layout.Entry, layout.Keys,
    ];
}
